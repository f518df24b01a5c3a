export * from "../../.tools/node_modules/preact/src/index.js";

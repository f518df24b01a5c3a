export * from "../../.tools/node_modules/preact/hooks/src/index.js";

export * from "../../.tools/node_modules/@preact/signals-core/dist/signals-core.js";

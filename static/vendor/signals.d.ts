export * from "../../.tools/node_modules/@preact/signals/dist/signals.js";

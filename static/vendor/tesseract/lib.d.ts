export * from "../../../.tools/node_modules/tesseract-wasm/dist/index.js";

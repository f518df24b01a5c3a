export * from "../../../../.tools/node_modules/zxing-wasm/dist/es/reader/index.js";

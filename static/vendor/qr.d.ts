export * from "../../.tools/node_modules/qr/index.js";
export { default } from "../../.tools/node_modules/qr/index.js";

export * from "../../.tools/node_modules/dexie/dist/dexie.js";
export { default } from "../../.tools/node_modules/dexie/dist/dexie.js";

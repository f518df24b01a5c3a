export * from "../../.tools/node_modules/htm/dist/htm.js";
export { default } from "../../.tools/node_modules/htm/dist/htm.js";

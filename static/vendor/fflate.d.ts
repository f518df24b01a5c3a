export * from "../../.tools/node_modules/fflate/esm/browser.js";

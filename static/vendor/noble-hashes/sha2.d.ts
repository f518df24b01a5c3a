export * from "../../../.tools/node_modules/@noble/hashes/sha2.js";

/*
 * Copies the pinned packages of package-lock.json into this folder, ready to be served as they are:
 *
 *     npm ci && node refresh.mjs        (in any folder that holds package.json and package-lock.json
 *                                        beside node_modules; give that folder as the argument)
 *
 * Bare imports become relative paths because a strict content security policy leaves no room for an
 * inline import map, and source map comments go because the maps do not come along.
 */
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";

const HERE = dirname(fileURLToPath(import.meta.url));
const INSTALLED = join(resolve(process.argv[2] ?? HERE), "node_modules");
/** Where tsc finds the packages' types: the tools folder at the top of the project. */
const TYPES_FROM_HERE = "../../.tools/node_modules";

const MODULES = [
  { file: "preact.js", package: "preact", from: "dist/preact.mjs", types: "src/index" },
  { file: "preact-hooks.js", package: "preact", from: "hooks/dist/hooks.mjs", types: "hooks/src/index" },
  {
    file: "signals-core.js", package: "@preact/signals-core",
    from: "dist/signals-core.module.js", types: "dist/signals-core",
  },
  { file: "signals.js", package: "@preact/signals", from: "dist/signals.module.js", types: "dist/signals" },
  { file: "htm.js", package: "htm", from: "dist/htm.mjs", types: "dist/htm", hasDefault: true },
  // The package's own entry wraps a UMD file; the modern build is a true module.
  { file: "dexie.js", package: "dexie", from: "dist/modern/dexie.min.mjs", types: "dist/dexie", hasDefault: true },
  { file: "qr.js", package: "qr", from: "index.js", types: "index", hasDefault: true },
  { file: "noble-hashes/sha2.js", package: "@noble/hashes", from: "sha2.js", types: "sha2" },
  { file: "fflate.js", package: "fflate", from: "esm/browser.js", types: "esm/browser" },
  { file: "zxing/reader/index.js", package: "zxing-wasm", from: "dist/es/reader/index.js", types: "dist/es/reader/index" },
  { file: "tesseract/lib.js", package: "tesseract-wasm", from: "dist/lib.js", types: "dist/index" },
];

// Named by relative imports of the modules above, so they lie as they do in the package.
const BESIDE_MODULES = [
  { file: "zxing/share.js", package: "zxing-wasm", from: "dist/es/share.js" },
  ...["_md", "_u64", "utils"].map((part) => ({
    file: `noble-hashes/${part}.js`, package: "@noble/hashes", from: `${part}.js`,
  })),
];

// The worker is a classic script: the module sources of workbox read process.env, its builds do not.
const SCRIPTS = ["core", "precaching", "routing", "strategies"].map((part) => ({
  file: `workbox-${part}.js`, package: `workbox-${part}`, from: `build/workbox-${part}.prod.js`,
}));

// The label reader's two files are kept compressed, because a phone knows their size before it fetches them.
const BINARIES = [
  { file: "zxing/zxing_reader.wasm", package: "zxing-wasm", from: "dist/reader/zxing_reader.wasm" },
  { file: "tesseract/core.wasm.gz", package: "tesseract-wasm", from: "dist/tesseract-core.wasm", compress: true },
  {
    file: "tesseract/fra.traineddata.gz", package: "@tesseract.js-data/fra",
    from: "4.0.0_best_int/fra.traineddata.gz",
  },
];

/** Packages whose code is inside a file of another one. */
const INSIDE = [{ package: "comlink" }];
/** What a package contains that its own licence does not name. */
const NOTICES = new Map([
  ["tesseract-wasm", "core.wasm contains Tesseract (Apache-2.0, text under comlink) and Leptonica (BSD-2-Clause)."],
  ["@tesseract.js-data/fra", "The model is of tesseract-ocr/tessdata_best (fra, Apache-2.0, text under comlink)."],
]);

const FONTS = ["latin-500-normal", "latin-400-italic", "latin-ext-500-normal", "latin-ext-400-italic"].map(
  (face) => ({
    file: `fonts/vollkorn-${face}.woff2`, package: "@fontsource/vollkorn",
    from: `files/vollkorn-${face}.woff2`,
  }),
);

const RELATIVE = new Map([
  ["preact", "./preact.js"],
  ["preact/hooks", "./preact-hooks.js"],
  ["@preact/signals-core", "./signals-core.js"],
]);

/** @param {string} source */
function asServed(source) {
  const relative = source.replace(/(from|import)\s*"([^"./][^"]*)"/g, (whole, word, name) =>
    RELATIVE.has(name) ? `${word} "${RELATIVE.get(name)}"` : whole);
  return relative.replace(/\/\/# sourceMappingURL=\S+/g, "").trimEnd() + "\n";
}

/** @param {{file: string, types: string, package: string, hasDefault?: boolean}} module */
function typesBeside(module) {
  const target = `${"../".repeat(module.file.split("/").length - 1)}${TYPES_FROM_HERE}/${module.package}/${module.types}.js`;
  const lines = [`export * from "${target}";`];
  if (module.hasDefault) lines.push(`export { default } from "${target}";`);
  return lines.join("\n") + "\n";
}

/** @param {string} name */
function about(name) {
  const manifest = JSON.parse(readFileSync(join(INSTALLED, name, "package.json"), "utf8"));
  return { version: manifest.version, license: manifest.license };
}

/** @param {{package: string, from: string, compress?: boolean}} entry */
function read(entry) {
  const bytes = readFileSync(join(INSTALLED, entry.package, entry.from));
  return entry.compress ? gzipSync(bytes, { level: 9 }) : bytes;
}

/** @param {{file: string, package: string, from: string}} entry @param {Buffer} bytes */
function place(entry, bytes) {
  const target = join(HERE, entry.file);
  mkdirSync(dirname(target), { recursive: true });
  writeFileSync(target, bytes);
  return {
    file: entry.file, package: entry.package, ...about(entry.package), from: entry.from,
    integrity: "sha384-" + createHash("sha384").update(bytes).digest("base64"),
  };
}

/** @param {{package: string}[]} entries */
function licences(entries) {
  const names = [...new Set(entries.map((entry) => entry.package))].sort();
  const parts = names.map((name) => {
    const { version, license } = about(name);
    const file = ["LICENSE", "LICENSE.md"].map((one) => join(INSTALLED, name, one)).find(existsSync);
    const notice = NOTICES.has(name) ? [`${NOTICES.get(name)}\n`] : [];
    const text = file ? [`\`\`\`text\n${readFileSync(file, "utf8").trim()}\n\`\`\`\n`] : [];
    return [`## ${name} ${version} (${license})\n`, ...notice, ...text].join("\n");
  });
  return "# Licences of the files in this folder\n\n" + parts.join("\n");
}

const placed = [
  ...[...MODULES, ...BESIDE_MODULES, ...SCRIPTS].map((entry) => place(entry, Buffer.from(asServed(read(entry).toString("utf8"))))),
  ...[...BINARIES, ...FONTS].map((entry) => place(entry, read(entry))),
];
for (const module of MODULES) {
  writeFileSync(join(HERE, module.file.replace(/\.js$/, ".d.ts")), typesBeside(module));
}
writeFileSync(join(HERE, "vendored.json"), JSON.stringify({ files: placed }, null, 1) + "\n");
writeFileSync(join(HERE, "LICENCES.md"), licences([...placed, ...INSIDE]));
process.stdout.write(`${placed.length} files in ${HERE}\n`);

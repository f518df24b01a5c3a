/*
 * Packs the client: `static/` as it is written, two hundred small modules, becomes a dozen in `static/packed/`, so that a
 * phone opens the book with few requests and reads no comments. Run by `make pack` after a change under static/.
 *
 *     node ../.ci/pack.mjs        (in the folder of tools, whose node_modules holds rollup, terser and lightningcss)
 *
 * What comes together: `first` is what every room needs; each room's first screen is one file, what lies behind it another
 * (`pour-behind`), and what several rooms keep behind their first screens a third (`behind`). Every module of our own keeps its
 * address too: `doors.json` says what the server, or without a network the worker, answers there, so that whoever asks for
 * `/store/write.js` gets the one instance that the app uses. `packed.json` holds the hash of every source: a pack of other
 * sources is never served. `next.json` names what the server tells a first visit to fetch beside the page.
 */
import { createHash } from "node:crypto";
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const tools = createRequire(join(process.cwd(), "package.json"));
const { rollup } = tools("rollup");
const { minify } = tools("terser");
const { browserslistToTargets, transform } = tools("lightningcss");
const babel = tools("@babel/core");
const htm = tools("babel-plugin-htm");

const STATIC = resolve(dirname(fileURLToPath(import.meta.url)), "../static");
const PACKED = join(STATIC, "packed");
const ROOMS = ["pour", "book", "shelf", "palate", "settings"];
const SHEET = /<link rel="stylesheet" href="\/([^"]+)">\n?/g;
/** The oldest browsers that have what the sources use (JSON modules, Baseline 2025). */
const BROWSERS = ["chrome 123", "firefox 138", "safari 17.2"];

/** @param {string} folder @returns {string[]} */
function filesIn(folder) {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return entry.name === "packed" || entry.name === "node_modules" ? [] : filesIn(path);
    return [path];
  });
}

const name = (/** @type {string} */ path) => relative(STATIC, path).replaceAll("\\", "/");
/** As `is_source` in webapp/client/bundle.py has it. */
const isSource = (/** @type {string} */ path) => (/\.(js|css|html)$/.test(path) || /^spec\/.*\.json$/.test(name(path)))
  && !/^service_worker\.js$|^vendor\/workbox-/.test(name(path));
const sources = filesIn(STATIC).filter(isSource).sort();
const modules = sources.filter((path) => path.endsWith(".js"));

const isOurs = (/** @type {string} */ path) => !name(path).startsWith("vendor/");

/** What a data file says of itself is for whoever reads the file, and the lists in other files for the server. */
const OF_ITSELF = new Set(["about", "comment", "from_files", "made", "source", "sources", "status"]);

/** What of a style only the server reckons with: its place in the palate's world, and the law on its strength. As `ServersOwn` in domain/style_names.js. */
const SERVERS_OWN = /^(legal_\w+|abv_\w+|\w+_sd|intensity|acidity|tannin|body|group|world|note|ageing_colour)$/;

/** @param {Record<string, unknown>} row @param {(key: string) => boolean} isWanted */
const narrowed = (row, isWanted) => Object.fromEntries(Object.entries(row).filter(([key]) => isWanted(key)));

/** @param {string} text of a data file @returns {string} its data, as a text that an engine parses faster than an object written out */
function dataOf(text) {
  const data = narrowed(JSON.parse(text), (key) => !OF_ITSELF.has(key));
  // No screen shows the groups of aroma families.
  if (Array.isArray(data.families)) {
    delete data.groups;
    data.families = data.families.map((row) => narrowed(row, (key) => key !== "group"));
  }
  if (Array.isArray(data.styles)) data.styles = data.styles.map((row) => narrowed(row, (key) => !SERVERS_OWN.test(key)));
  return `JSON.parse(${JSON.stringify(JSON.stringify(data))})`;
}

const dataFiles = {
  name: "data-files",
  transform: (/** @type {string} */ code, /** @type {string} */ id) => id.endsWith(".json")
    ? { code: `export default ${dataOf(code)};`, map: null }
    : null,
};

/** The plugin after it takes a template's letters as they are typed; an engine reads `\u00b7` as the one letter that it is. */
const asRead = () => ({
  visitor: {
    TaggedTemplateExpression({ node }) {
      for (const { value } of node.quasi.quasis) value.raw = value.cooked;
    },
  },
});

/** Templates become the calls that they stand for, so that no phone reads them letter by letter on its first screen. */
const templates = {
  name: "templates",
  transform: (/** @type {string} */ code, /** @type {string} */ id) => {
    if (!isOurs(id) || !code.includes("html`")) return null;
    const made = babel.transformSync(code, {
      babelrc: false, configFile: false, compact: false,
      plugins: [asRead, [htm, { pragma: "element_", import: { module: join(STATIC, "lib/ui.js"), export: "h" }, useNativeSpread: true }]],
    });
    return { code: withoutReader(String(made?.code)), map: null };
  },
};

/** Once its templates are calls, a module needs no more the function that reads templates. @param {string} code */
const withoutReader = (code) => code.replace(/import \{([^}]*)\} from (["'][^"']*\bui\.js["'])/g, (_all, names, from) =>
  `import {${names.split(",").filter((/** @type {string} */ one) => one.trim() !== "html").join(",")}} from ${from}`);

/** `lib/ui.js` drops that function too, since its bytes would come with the first screen. */
const templateReader = {
  name: "template-reader",
  transform: (/** @type {string} */ code, /** @type {string} */ id) => {
    if (name(id) !== "lib/ui.js") return null;
    const without = code.replace(/^import htm from .*$/m, "").replace(/^export const html = .*$/m, "");
    if (/htm/.test(without.replace(/\/\*[^]*?\*\//g, ""))) throw new Error("lib/ui.js still imports htm");
    return { code: without, map: null };
  },
};

/** @param {string} start @param {(id: string) => any} info @returns {Set<string>} all that it imports as it loads, itself too */
function reached(start, info) {
  const found = new Set([start]);
  for (const id of found) for (const other of info(id).importedIds) found.add(other);
  return found;
}

/** @param {(id: string) => any} info @returns {Map<string, string>} in which file each module comes */
function placed(info) {
  const places = new Map();
  const put = (/** @type {string} */ where, /** @type {Iterable<string>} */ ids) => {
    for (const id of ids) if (!places.has(id)) places.set(id, where);
  };
  const roomStart = (/** @type {string} */ room) => join(STATIC, `features/${room}/screen.js`);
  const [pour, ...others] = ROOMS.map((room) => reached(roomStart(room), info));
  const inSome = (/** @type {number} */ least) => (/** @type {string} */ id) => others.filter((one) => one.has(id)).length >= least;
  put("start", reached(join(STATIC, "bootstrap.js"), info));
  put("styles", [join(STATIC, "spec/styles.json")]);
  put("first", [...reached(join(STATIC, "app.js"), info), ...[...pour].filter(inSome(1))]);
  // Both are fetched once the first screen is painted.
  put("sync", ["sync/index.js", "features/shell/new_version.js"].flatMap((door) => [...reached(join(STATIC, door), info)]));
  put("rooms", others.flatMap((one) => [...one].filter(inSome(2))));
  [pour, ...others].forEach((one, at) => put(String(ROOMS[at]), one));
  put("reader", reached(join(STATIC, "vendor/zxing/reader/index.js"), info));
  const behind = new Map();
  for (const id of modules) {
    for (const door of info(id)?.dynamicallyImportedIds ?? []) {
      const room = /^features\/(\w+)\//.exec(name(id))?.[1] ?? "";
      for (const one of reached(door, info)) behind.set(one, (behind.get(one) ?? new Set()).add(room));
    }
  }
  for (const [id, rooms] of behind) {
    put(rooms.size === 1 ? `${[...rooms][0] || "house"}-behind` : "behind", [id]);
  }
  put("behind", modules);
  return places;
}

/** @param {string} code of a door @returns {Map<string, [string, string][]>} by packed file: as what each of the door's names goes there */
function namesBehind(code) {
  const found = new Map();
  for (const [, names = "", file = ""] of code.matchAll(/export\s*\{([^}]*)\}\s*from\s*['"]([^'"]+)['"]/g)) {
    const pairs = names.split(",").map((pair) => pair.trim().split(/\s+as\s+/));
    found.set(basename(file), pairs.map(([inside, outside = inside]) => [outside, inside]));
  }
  return found;
}

/**
 * What is fetched later is asked for in its packed file, not at the module's own address, and together with it the files
 * that it needs, of which a browser would hear only from itself.
 * @param {string} code @param {string} from the file that it stands in @param {Record<string, string>} doors
 * @param {Map<string, string[]>} needs of each packed file, all but what is here already
 */
function openedLater(code, from, doors, needs) {
  return code.replace(/import\((['"])([^'"]+)\1\)/g, (whole, _quote, to) => {
    const door = doors[join(dirname(from), to)];
    if (!door) return whole;
    const behind = [...namesBehind(door)];
    const held = behind.map(([file]) => file);
    const beside = held.flatMap((file) => needs.get(file) ?? []).filter((file) => file !== basename(from));
    const files = [...new Set([...held, ...beside])].map((file) => `import("/packed/${file}")`);
    const names = behind.flatMap(([, pairs], at) => pairs.map(([outside, inside]) => `${outside}:m[${at}].${inside}`));
    return `Promise.all([${files.join(",")}]).then(m=>({${names.join(",")}}))`;
  });
}

async function packModules() {
  const bundle = await rollup({
    input: Object.fromEntries(modules.filter(isOurs).map((path) => [name(path).replace(/\.js$/, ""), path])),
    plugins: [dataFiles, templates, templateReader],
    onLog(level, log) { if (level === "warn") throw new Error(log.message); },
  });
  /** @type {Map<string, string> | undefined} */
  let places;
  const { output } = await bundle.generate({
    format: "es", minifyInternalExports: true,
    // A file whose only exports are those of one module is that module's own door for rollup.
    entryFileNames: ({ moduleIds: [id] }) => id ? `packed/${places?.get(id)}.js` : "[name].js",
    chunkFileNames: "packed/[name].js",
    manualChunks: (id, { getModuleInfo }) => (places ??= placed(getModuleInfo)).get(id),
  });
  const chunks = output.filter((chunk) => chunk.type === "chunk");
  /** @type {Record<string, string>} */
  const doors = {};
  for (const { fileName, code, isEntry, facadeModuleId } of chunks) {
    if (!fileName.startsWith("packed/")) doors[fileName] = code.replace(/\s+/g, " ").trim();
    else if (isEntry) doors[name(String(facadeModuleId))] = `export * from '/${fileName}';`;
  }
  const files = [];
  const early = chunks.filter((chunk) => Object.hasOwn(chunk.modules, join(STATIC, "app.js"))).flatMap(({ fileName, imports }) => [fileName, ...imports]);
  const asked = new Map(chunks.map(({ fileName, imports }) => [basename(fileName), imports.filter((other) => !early.includes(other)).map((other) => basename(other))]));
  for (const { fileName: file, code: plain, modules: held, imports: needs } of chunks.filter(({ fileName }) => fileName.startsWith("packed/"))) {
    const { code = "" } = await minify(openedLater(plain, file, doors, asked), { module: true, ecma: 2020, compress: { passes: 3, keep_fargs: false }, format: { comments: false } });
    files.push({ file, code, holds: Object.keys(held).map(name), needs });
  }
  return { doors, files };
}

/** @param {string} page the page as it is written @returns {Uint8Array} its sheets, in the order in which it names them, as one */
function packSheets(page) {
  const sheets = [...page.matchAll(SHEET)].map((match) => readFileSync(join(STATIC, String(match[1])), "utf8"));
  return transform({
    filename: "first.css", code: Buffer.from(sheets.join("\n")), minify: true, targets: browserslistToTargets(BROWSERS),
  }).code;
}

/** @typedef {{ file: string, holds: string[], needs: string[] }} Packed */

/** @param {Packed[]} files @param {string} module @returns {Packed} the file that holds it */
function fileWith(files, module) {
  const found = files.find(({ holds }) => holds.includes(module));
  if (!found) throw new Error(`${module} is not in the pack`);
  return found;
}

/** @param {Packed[]} files @returns {string[]} what the first screen needs next, so that a first visit asks for it at once */
function nextFiles(files) {
  const next = ["app.js", "features/pour/screen.js"].map((module) => fileWith(files, module)).flatMap(({ file, needs }) => [file, ...needs]);
  return [...new Set(next)].filter((file) => file !== fileWith(files, "bootstrap.js").file);
}

/** @param {string} page @param {Packed[]} files @returns {string} the page that opens on the packed files */
function packPage(page, files) {
  let sheets = 0;
  return page.replace(SHEET, () => (sheets++ ? "" : `<link rel="stylesheet" href="/packed/first.css">\n`))
    .replace('src="/bootstrap.js"', `src="/${fileWith(files, "bootstrap.js").file}"`);
}

const hash = (/** @type {string} */ path) => createHash("sha256").update(readFileSync(path)).digest("hex").slice(0, 20);
const { doors, files } = await packModules();
const page = readFileSync(join(STATIC, "index.html"), "utf8");
rmSync(PACKED, { recursive: true, force: true });
mkdirSync(PACKED, { recursive: true });
for (const { file, code } of files) writeFileSync(join(STATIC, file), code);
writeFileSync(join(PACKED, "first.css"), packSheets(page));
writeFileSync(join(PACKED, "index.html"), packPage(page, files));
writeFileSync(join(PACKED, "next.json"), `${JSON.stringify(nextFiles(files))}\n`);
writeFileSync(join(PACKED, "doors.json"), `${JSON.stringify(doors, null, 1)}\n`);
const made = Object.fromEntries(sources.map((path) => [name(path), hash(path)]));
writeFileSync(join(PACKED, "packed.json"), `${JSON.stringify(made, null, 1)}\n`);
process.stdout.write(`${files.length} packed modules in ${PACKED}\n`);

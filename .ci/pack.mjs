/*
 * Packs the client: `static/` as it is written, two hundred small modules, becomes a dozen in `static/packed/`, so
 * that a
 * phone opens the book with few requests and reads no comments. Run by `make pack` after a change under static/.
 *
 *     node ../.ci/pack.mjs        (in the folder of tools, whose node_modules holds rollup, terser and lightningcss)
 *
 * What comes together: `first` is what every room needs; each room's first screen is one file, what lies behind it
 * another
 * (`pour-behind`), and what several rooms keep behind their first screens a third (`behind`). Every module of our
 * own keeps its
 * address too: `doors.json` says what the server, or without a network the worker, answers there, so that whoever
 * asks for
 * `/store/write.js` gets the one instance that the app uses. `packed.json` holds the hash of every source: a pack
 * of other
 * sources is never served. `next.json` names what the server tells a first visit to fetch beside the page.
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { PACKED, STATIC, isOurs, modules, name, sources, tools } from './client_tree.mjs';
import { plugins } from './pack_plugins.mjs';

const { rollup } = tools('rollup');
const { minify } = tools('terser');
const { browserslistToTargets, transform } = tools('lightningcss');

const ROOMS = ['pour', 'book', 'shelf', 'palate', 'settings'];
const SHEET = /<link rel="stylesheet" href="\/([^"]+)">\n?/g;
/** The oldest browsers that have what the sources use (JSON modules, Baseline 2025). */
const BROWSERS = ['chrome 123', 'firefox 138', 'safari 17.2'];

/**
 * @param {string} start
 * @param {(id: string) => any} info
 * @returns {Set<string>} all that it imports as it loads, itself too
 */
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
  const inSome = (/** @type {number} */ least) => (/** @type {string} */ id) =>
    others.filter((one) => one.has(id)).length >= least;
  put('start', reached(join(STATIC, 'bootstrap.js'), info));
  put('styles', [join(STATIC, 'spec/styles.json')]);
  put('first', [...reached(join(STATIC, 'app.js'), info), ...[...pour].filter(inSome(1))]);
  // Fetched once the first screen is painted.
  put('sync', reached(join(STATIC, 'features/shell/background.js'), info));
  put(
    'rooms',
    others.flatMap((one) => [...one].filter(inSome(2))),
  );
  [pour, ...others].forEach((one, at) => put(String(ROOMS[at]), one));
  put('reader', reached(join(STATIC, 'vendor/zxing/reader/index.js'), info));
  const behind = new Map();
  for (const id of modules) {
    for (const door of info(id)?.dynamicallyImportedIds ?? []) {
      const room = /^features\/(\w+)\//.exec(name(id))?.[1] ?? '';
      for (const one of reached(door, info)) behind.set(one, (behind.get(one) ?? new Set()).add(room));
    }
  }
  for (const [id, rooms] of behind) {
    put(rooms.size === 1 ? `${[...rooms][0] || 'house'}-behind` : 'behind', [id]);
  }
  put('behind', modules);
  return places;
}

/**
 * @param {string} code of a door
 * @returns {Map<string, [string, string][]>} by packed file: as what each of the door's names goes there
 */
function namesBehind(code) {
  const found = new Map();
  for (const [, names = '', file = ''] of code.matchAll(/export\s*\{([^}]*)\}\s*from\s*['"]([^'"]+)['"]/g)) {
    const pairs = names.split(',').map((pair) => pair.trim().split(/\s+as\s+/));
    found.set(
      basename(file),
      pairs.map(([inside, outside = inside]) => [outside, inside]),
    );
  }
  return found;
}

/**
 * What is fetched later is asked for in its packed file, not at the module's own address, and together with it the
 * files
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
    return `Promise.all([${files.join(',')}]).then(m=>({${names.join(',')}}))`;
  });
}

async function packModules() {
  const bundle = await rollup({
    input: Object.fromEntries(modules.filter(isOurs).map((path) => [name(path).replace(/\.js$/, ''), path])),
    plugins,
    onLog(level, log) {
      if (level === 'warn') throw new Error(log.message);
    },
  });
  /** @type {Map<string, string> | undefined} */
  let places;
  const { output } = await bundle.generate({
    format: 'es',
    minifyInternalExports: true,
    // A file whose only exports are those of one module is that module's own door for rollup.
    entryFileNames: ({ moduleIds: [id] }) => (id ? `packed/${places?.get(id)}.js` : '[name].js'),
    chunkFileNames: 'packed/[name].js',
    manualChunks: (id, { getModuleInfo }) => (places ??= placed(getModuleInfo)).get(id),
  });
  const chunks = output.filter((chunk) => chunk.type === 'chunk');
  /** @type {Record<string, string>} */
  const doors = {};
  for (const { fileName, code, isEntry, facadeModuleId } of chunks) {
    if (!fileName.startsWith('packed/')) doors[fileName] = code.replace(/\s+/g, ' ').trim();
    else if (isEntry) doors[name(String(facadeModuleId))] = `export * from '/${fileName}';`;
  }
  const files = [];
  const early = chunks
    .filter((chunk) => Object.hasOwn(chunk.modules, join(STATIC, 'app.js')))
    .flatMap(({ fileName, imports }) => [fileName, ...imports]);
  const asked = new Map(
    chunks.map(({ fileName, imports }) => [
      basename(fileName),
      imports.filter((other) => !early.includes(other)).map((other) => basename(other)),
    ]),
  );
  for (const { fileName: file, code: plain, modules: held, imports: needs } of chunks.filter(({ fileName }) =>
    fileName.startsWith('packed/'),
  )) {
    const { code = '' } = await minify(openedLater(plain, file, doors, asked), {
      module: true,
      ecma: 2020,
      compress: { passes: 3, keep_fargs: false },
      format: { comments: false },
    });
    files.push({ file, code, holds: Object.keys(held).map(name), needs });
  }
  return { doors, files };
}

/**
 * @param {string} page the page as it is written
 * @returns {Uint8Array} its sheets, in the order in which it names them, as one
 */
function packSheets(page) {
  const sheets = [...page.matchAll(SHEET)].map((match) => readFileSync(join(STATIC, String(match[1])), 'utf8'));
  return transform({
    filename: 'first.css',
    code: Buffer.from(sheets.join('\n')),
    minify: true,
    targets: browserslistToTargets(BROWSERS),
  }).code;
}

/** @typedef {{ file: string, holds: string[], needs: string[] }} Packed */

/** @param {Packed[]} files @param {string} module @returns {Packed} the file that holds it */
function fileWith(files, module) {
  const found = files.find(({ holds }) => holds.includes(module));
  if (!found) throw new Error(`${module} is not in the pack`);
  return found;
}

/**
 * @param {Packed[]} files
 * @returns {string[]} what the first screen needs next, so that a first visit asks for it at once
 */
function nextFiles(files) {
  const next = ['app.js', 'features/pour/screen.js']
    .map((module) => fileWith(files, module))
    .flatMap(({ file, needs }) => [file, ...needs]);
  return [...new Set(next)].filter((file) => file !== fileWith(files, 'bootstrap.js').file);
}

/** @param {string} page @param {Packed[]} files @returns {string} the page that opens on the packed files */
function packPage(page, files) {
  let sheets = 0;
  return page
    .replace(SHEET, () => (sheets++ ? '' : `<link rel="stylesheet" href="/packed/first.css">\n`))
    .replace('src="/bootstrap.js"', `src="/${fileWith(files, 'bootstrap.js').file}"`);
}

const hash = (/** @type {string} */ path) => createHash('sha256').update(readFileSync(path)).digest('hex').slice(0, 20);
const { doors, files } = await packModules();
const page = readFileSync(join(STATIC, 'index.html'), 'utf8');
rmSync(PACKED, { recursive: true, force: true });
mkdirSync(PACKED, { recursive: true });
for (const { file, code } of files) writeFileSync(join(STATIC, file), code);
writeFileSync(join(PACKED, 'first.css'), packSheets(page));
writeFileSync(join(PACKED, 'index.html'), packPage(page, files));
writeFileSync(join(PACKED, 'next.json'), `${JSON.stringify(nextFiles(files))}\n`);
writeFileSync(join(PACKED, 'doors.json'), `${JSON.stringify(doors, null, 1)}\n`);
const made = Object.fromEntries(sources.map((path) => [name(path), hash(path)]));
writeFileSync(join(PACKED, 'packed.json'), `${JSON.stringify(made, null, 1)}\n`);
process.stdout.write(`${files.length} packed modules in ${PACKED}\n`);

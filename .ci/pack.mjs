/*
 * Builds the bundle: some 600 modules of `static/` become 25 files in `static/packed/`, so that a phone needs few
 * requests and loads no comments. `make pack` runs it after a change under static/.
 *
 *     node ../.ci/pack.mjs        (in the folder of tools, whose node_modules has rollup, terser and lightningcss)
 *
 * `first` has what every screen needs. Each screen has one file for its first view, one for what it loads later
 * (`pour-later`), and `shared-later` has what several screens load later. Every module of our own keeps its address:
 * `module_map.json` maps it to a line that re-exports it, which the server or, offline, the service worker sends, so
 * that an import of `/store/write.js` gets the instance that the app uses. `packed.json` has the hash of every source;
 * a bundle of other sources is never served. `next.json` lists the files that a first visit preloads.
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { PACKED, STATIC, isOurs, modules, name, sources, tools } from './client_tree.mjs';
import { plugins } from './pack_plugins.mjs';

const { rollup } = tools('rollup');
const { minify } = tools('terser');
const { browserslistToTargets, transform } = tools('lightningcss');

const SCREENS = ['pour', 'book', 'shelf', 'palate', 'table', 'settings', 'guest'];
const SHEET = /<link rel="stylesheet" href="\/([^"]+)">\n?/g;
/** The oldest browsers that support what the sources use (JSON modules, Baseline 2025). */
const BROWSERS = ['chrome 123', 'firefox 138', 'safari 17.2'];

/**
 * Lets V8 compile all functions of a file while it loads, beside the main thread, instead of each at its first call
 * (V8, "Explicit compile hints", Chrome 136). Other engines ignore it.
 */
const COMPILE_ALL = '//# allFunctionsCalledOnLoad';

/** @param {string} file @returns {boolean} whether most functions of the file are called soon after it is loaded */
function isCalledSoon(file) {
  return ['first', 'shared', 'sync', ...SCREENS].includes(basename(file, '.js'));
}

/**
 * @param {string} start
 * @param {(id: string) => any} info
 * @returns {Set<string>} the module and all that it imports statically
 */
function staticImports(start, info) {
  const found = new Set([start]);
  for (const id of found) for (const other of info(id).importedIds) found.add(other);
  return found;
}

/** @param {(id: string) => any} info @returns {Map<string, string>} the bundle file of each module */
function assignFiles(info) {
  const fileOf = new Map();
  const put = (/** @type {string} */ where, /** @type {Iterable<string>} */ ids) => {
    for (const id of ids) if (!fileOf.has(id)) fileOf.set(id, where);
  };
  const screenModule = (/** @type {string} */ screen) => join(STATIC, `features/${screen}/screen.js`);
  const [pour, ...others] = SCREENS.map((screen) => staticImports(screenModule(screen), info));
  const inAtLeast = (/** @type {number} */ least) => (/** @type {string} */ id) =>
    others.filter((one) => one.has(id)).length >= least;
  put('start', staticImports(join(STATIC, 'bootstrap.js'), info));
  put('styles', [join(STATIC, 'spec/styles.json')]);
  put('first', [...staticImports(join(STATIC, 'app.js'), info), ...[...pour].filter(inAtLeast(1))]);
  // Loaded after the first paint.
  put('sync', staticImports(join(STATIC, 'features/shell/background.js'), info));
  put(
    'shared',
    others.flatMap((one) => [...one].filter(inAtLeast(2))),
  );
  // The questions of a step, which the leader's phone and the guests' share.
  put('sheet', staticImports(join(STATIC, 'domain/table/sheet_form.js'), info));
  [pour, ...others].forEach((one, at) => put(String(SCREENS[at]), one));
  put('zip', [join(STATIC, 'vendor/fflate.js')]);
  put('reader', staticImports(join(STATIC, 'vendor/zxing/reader/index.js'), info));
  // A worker of its own, so nothing that a page loads may be in it.
  put('label-worker', staticImports(join(STATIC, 'label_photo/worker.js'), info));
  put('qr', staticImports(join(STATIC, 'lib/qr_draw.js'), info));
  const importers = new Map();
  for (const id of modules) {
    for (const lazy of info(id)?.dynamicallyImportedIds ?? []) {
      const screen = /^features\/(\w+)\//.exec(name(id))?.[1] ?? 'app';
      for (const one of staticImports(lazy, info)) importers.set(one, (importers.get(one) ?? new Set()).add(screen));
    }
  }
  for (const [id, screens] of importers) put(screens.size === 1 ? `${[...screens][0]}-later` : 'shared-later', [id]);
  put('shared-later', modules);
  return fileOf;
}

/**
 * @param {string} code of a module that re-exports
 * @returns {Map<string, [string, string][]>} for each bundle file, pairs of exported name and name in that file
 */
function reexportsOf(code) {
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
 * Rewrite dynamic imports to load the bundle file instead of the module's address, and in parallel the files that it
 * imports, which a browser would discover only after loading it.
 * @param {string} code @param {string} from the file of the code @param {Record<string, string>} moduleMap
 * @param {Map<string, string[]>} needs for each bundle file the imports that are not loaded at the start
 */
function rewriteImports(code, from, moduleMap, needs) {
  return code.replace(/import\((['"])([^'"]+)\1\)/g, (whole, _quote, to) => {
    const line = moduleMap[join(dirname(from), to)];
    if (!line) return whole;
    const exporters = [...reexportsOf(line)];
    const held = exporters.map(([file]) => file);
    const beside = held.flatMap((file) => needs.get(file) ?? []).filter((file) => file !== basename(from));
    const files = [...new Set([...held, ...beside])].map((file) => `import("/packed/${file}")`);
    const names = exporters.flatMap(([, pairs], at) =>
      pairs.map(([outside, inside]) => `${outside}:m[${at}].${inside}`),
    );
    return `Promise.all([${files.join(',')}]).then(m=>({${names.join(',')}}))`;
  });
}

async function bundleModules() {
  const bundle = await rollup({
    input: Object.fromEntries(modules.filter(isOurs).map((path) => [name(path).replace(/\.js$/, ''), path])),
    plugins,
    onLog(level, log) {
      if (level === 'warn') throw new Error(log.message);
    },
  });
  /** @type {Map<string, string> | undefined} */
  let fileOf;
  const { output } = await bundle.generate({
    format: 'es',
    minifyInternalExports: true,
    // Rollup makes a file whose exports are all of one module the entry of that module.
    entryFileNames: ({ moduleIds: [id] }) => (id ? `packed/${fileOf?.get(id)}.js` : '[name].js'),
    chunkFileNames: 'packed/[name].js',
    manualChunks: (id, { getModuleInfo }) => (fileOf ??= assignFiles(getModuleInfo)).get(id),
  });
  const chunks = output.filter((chunk) => chunk.type === 'chunk');
  /** @type {Record<string, string>} */
  const moduleMap = {};
  for (const { fileName, code, isEntry, facadeModuleId } of chunks) {
    if (!fileName.startsWith('packed/')) moduleMap[fileName] = code.replace(/\s+/g, ' ').trim();
    else if (isEntry) moduleMap[name(String(facadeModuleId))] = `export * from '/${fileName}';`;
  }
  const files = [];
  const initial = chunks
    .filter((chunk) => Object.hasOwn(chunk.modules, join(STATIC, 'app.js')))
    .flatMap(({ fileName, imports }) => [fileName, ...imports]);
  const importsOf = new Map(
    chunks.map(({ fileName, imports }) => [
      basename(fileName),
      imports.filter((other) => !initial.includes(other)).map((other) => basename(other)),
    ]),
  );
  for (const { fileName: file, code: plain, modules: held, imports: needs } of chunks.filter(({ fileName }) =>
    fileName.startsWith('packed/'),
  )) {
    const { code = '' } = await minify(rewriteImports(plain, file, moduleMap, importsOf), {
      module: true,
      ecma: 2020,
      compress: { passes: 3, keep_fargs: false },
      format: { comments: false, preamble: isCalledSoon(file) ? COMPILE_ALL : '' },
    });
    files.push({ file, code, holds: Object.keys(held).map(name), needs });
  }
  return { moduleMap, files };
}

/**
 * @param {string} page the source of the page
 * @returns {Uint8Array} its style sheets, joined in the order of the page
 */
function bundleSheets(page) {
  const sheets = [...page.matchAll(SHEET)].map((match) => readFileSync(join(STATIC, String(match[1])), 'utf8'));
  return transform({
    filename: 'first.css',
    code: Buffer.from(sheets.join('\n')),
    minify: true,
    targets: browserslistToTargets(BROWSERS),
  }).code;
}

/** @typedef {{ file: string, holds: string[], needs: string[] }} Packed */

/** @param {Packed[]} files @param {string} module @returns {Packed} the file that contains it */
function fileWith(files, module) {
  const found = files.find(({ holds }) => holds.includes(module));
  if (!found) throw new Error(`${module} is not in the pack`);
  return found;
}

/**
 * @param {Packed[]} files
 * @returns {string[]} the further files of the first screen, which a first visit preloads
 */
function nextFiles(files) {
  const next = ['app.js', 'features/pour/screen.js']
    .map((module) => fileWith(files, module))
    .flatMap(({ file, needs }) => [file, ...needs]);
  return [...new Set(next)].filter((file) => file !== fileWith(files, 'bootstrap.js').file);
}

/** @param {string} page @param {Packed[]} files @returns {string} the page with links to the bundle files */
function bundlePage(page, files) {
  let sheets = 0;
  return page
    .replace(SHEET, () => (sheets++ ? '' : `<link rel="stylesheet" href="/packed/first.css">\n`))
    .replace('src="/bootstrap.js"', `src="/${fileWith(files, 'bootstrap.js').file}"`);
}

const hash = (/** @type {string} */ path) => createHash('sha256').update(readFileSync(path)).digest('hex').slice(0, 20);
const { moduleMap, files } = await bundleModules();
const page = readFileSync(join(STATIC, 'index.html'), 'utf8');
rmSync(PACKED, { recursive: true, force: true });
mkdirSync(PACKED, { recursive: true });
for (const { file, code } of files) writeFileSync(join(STATIC, file), code);
writeFileSync(join(PACKED, 'first.css'), bundleSheets(page));
writeFileSync(join(PACKED, 'index.html'), bundlePage(page, files));
writeFileSync(join(PACKED, 'next.json'), `${JSON.stringify(nextFiles(files))}\n`);
writeFileSync(join(PACKED, 'module_map.json'), `${JSON.stringify(moduleMap, null, 1)}\n`);
const made = Object.fromEntries(sources.map((path) => [name(path), hash(path)]));
writeFileSync(join(PACKED, 'packed.json'), `${JSON.stringify(made, null, 1)}\n`);
process.stdout.write(`${files.length} packed modules in ${PACKED}\n`);

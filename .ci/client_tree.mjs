// The client's sources in `static/`, and access to the build tools.
import { readdirSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Imports from the folder of tools, which is the working directory. */
export const tools = createRequire(join(process.cwd(), 'package.json'));
export const STATIC = resolve(dirname(fileURLToPath(import.meta.url)), '../static');
export const PACKED = join(STATIC, 'packed');

/** @param {string} folder @returns {string[]} */
function filesIn(folder) {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return entry.name === 'packed' || entry.name === 'node_modules' ? [] : filesIn(path);
    return [path];
  });
}

export const name = (/** @type {string} */ path) => relative(STATIC, path).replaceAll('\\', '/');
/** The same as `is_source` in webapp/client/bundle.py. */
const isSource = (/** @type {string} */ path) =>
  (/\.(js|css|html)$/.test(path) || /^spec\/.*\.json$/.test(name(path))) &&
  !/^service_worker\.js$|^vendor\/workbox-/.test(name(path));
export const sources = filesIn(STATIC).filter(isSource).sort();
export const modules = sources.filter((path) => path.endsWith('.js'));

export const isOurs = (/** @type {string} */ path) => !name(path).startsWith('vendor/');

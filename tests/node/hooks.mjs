// Loads the client's files as modules, and replaces the text of the one that is mutated.
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import process from 'node:process';

const CLIENT = new URL('../../static/', import.meta.url).href;
const { MUTANT_FILE, MUTANT_SOURCE } = process.env;
const mutated = MUTANT_FILE && new URL(MUTANT_FILE, CLIENT).href;

/** @type {import('node:module').LoadHook} */
export async function load(url, context, next) {
  // A query loads a module anew, as another page load would.
  const [file] = url.split('?');
  if (!file.startsWith(CLIENT) || !file.endsWith('.js')) return next(url, context);
  const path = file === mutated ? String(MUTANT_SOURCE) : fileURLToPath(file);
  return { format: 'module', source: await readFile(path), shortCircuit: true };
}

// Runs the tests of one file in child processes.
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import process from 'node:process';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const LEAST_MS = 10_000;
/** Processor time of a test file, which takes less than 2 s; a mutant may loop for ever. */
const MAX_CPU_S = 8;

/**
 * Run the tests until one fails, and move that one to the front, because it is likely to notice the
 * next mutant of the same file, too.
 * @param {string[][]} commands
 * @param {{ file?: string, path?: string, patience_ms: number }} mutant `path`: the file whose text
 *   replaces `file`
 * @returns {Promise<boolean>} whether one of them failed; a timeout counts as a failure
 */
export async function ask(commands, { file, path, patience_ms }) {
  const env = { ...process.env, ...(file && path ? { MUTANT_FILE: file, MUTANT_SOURCE: path } : {}) };
  for (const words of [...commands]) {
    if (!(await fails(words, env, patience_ms))) continue;
    commands.unshift(...commands.splice(commands.indexOf(words), 1));
    return true;
  }
  return false;
}

/**
 * @param {string[][]} commands
 * @param {string} file
 * @returns {Promise<number>} timeout for a mutant in ms
 */
export async function timeOf(commands, file) {
  const missing = commands.filter(([script]) => !existsSync(`${ROOT}${script}`));
  if (missing.length > 0) throw new Error(`no ${missing.flat().join(', ')}`);
  const began = Date.now();
  if (await ask(commands, { patience_ms: 120_000 }))
    throw new Error(`the tests of static/${file} fail without a mutant`);
  return Math.max(LEAST_MS, 5 * (Date.now() - began));
}

/** @param {string[]} words @param {NodeJS.ProcessEnv} env @param {number} patience_ms @returns {Promise<boolean>} */
function fails(words, env, patience_ms) {
  const node = [process.execPath, '--import', './tests/node/environment.mjs', ...words];
  const child = spawn('/bin/sh', ['-c', `ulimit -t ${MAX_CPU_S}; exec "$@"`, 'sh', ...node], {
    cwd: ROOT,
    env,
    stdio: 'ignore',
  });
  return new Promise((tell) => {
    const timer = setTimeout(() => child.kill('SIGKILL'), patience_ms);
    child.on('exit', (code) => {
      clearTimeout(timer);
      tell(code !== 0);
    });
  });
}

// Runs the twins' vectors through the client's modules: `node tests/vectors/run.mjs [name ...]`.
// Prints the failures as JSON and ends with 1 when there are any.
import { readFile, readdir } from 'node:fs/promises';
import process from 'node:process';

const here = new URL('./', import.meta.url);

/**
 * @param {unknown} found
 * @param {unknown} expected
 * @param {number} tolerance
 * @returns {boolean}
 */
function same(found, expected, tolerance) {
  if (typeof expected === 'number') {
    return typeof found === 'number' && Math.abs(found - expected) <= tolerance;
  }
  if (Array.isArray(expected)) {
    return (
      Array.isArray(found) &&
      found.length === expected.length &&
      expected.every((each, index) => same(found[index], each, tolerance))
    );
  }
  if (expected !== null && typeof expected === 'object') {
    if (found === null || typeof found !== 'object' || Array.isArray(found)) return false;
    const names = Object.keys(expected);
    return (
      names.length === Object.keys(found).length &&
      names.every((name) => name in found && same(found[name], expected[name], tolerance))
    );
  }
  return found === expected;
}

/** JSON has no NaN and no infinity: a vector writes them as {"number": "NaN"}. */
function revive(_name, value) {
  return value !== null &&
    typeof value === 'object' &&
    Object.keys(value).join() === 'number' &&
    typeof value.number === 'string'
    ? Number(value.number)
    : value;
}

/** @param {Function} twin @param {unknown[]} args */
function answer(twin, args) {
  try {
    return twin(...args);
  } catch (error) {
    if (typeof error.code === 'string') return { error: error.code };
    throw error;
  }
}

const wanted = process.argv.slice(2);
const files = (await readdir(here)).filter(
  (name) => name.endsWith('.json') && (wanted.length === 0 || wanted.includes(name.slice(0, -5))),
);
const failures = [];
let count = 0;
for (const file of files.sort()) {
  const vectors = JSON.parse(await readFile(new URL(file, here), 'utf8'), revive);
  if (!vectors.js || !vectors.groups.every((group) => group.tests.every((test) => 'args' in test))) continue;
  const [path, name] = vectors.js.split('#');
  const twin = (await import(new URL(`../../static/${path}`, import.meta.url)))[name];
  for (const group of vectors.groups) {
    for (const test of group.tests) {
      count += 1;
      const found = answer(twin, structuredClone(test.args));
      const tolerance = test.tolerance ?? vectors.tolerance ?? 0;
      if (!same(found, test.expected, tolerance)) {
        failures.push({ file, group: group.description, test: test.description, found, expected: test.expected });
      }
    }
  }
}
console.log(JSON.stringify({ count, failures }, null, 1));
process.exitCode = failures.length > 0 ? 1 : 0;

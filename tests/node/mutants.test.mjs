// Tests of the mutation script: tests are never checked against a change that it does not make.
import assert from 'node:assert/strict';
import { existsSync, readdirSync } from 'node:fs';
import test from 'node:test';
import { mutantsOf } from '../mutants/operators.mjs';
import { FOLDERS, PLAN } from '../mutants/plan.mjs';

/** @param {string} source */
const mutated = (source) =>
  mutantsOf(source).map(({ start, end, text }) => source.slice(0, start) + text + source.slice(end));

/**
 * @param {string} source
 * @param {...string} some each must be among the mutants
 */
function makes(source, ...some) {
  const found = mutated(source);
  for (const one of some) assert.ok(found.includes(one), `${one} in ${JSON.stringify(found)}`);
}

test('a comparison is moved and turned round', () => {
  assert.deepEqual(mutated('const a = b < c'), ['const a = b <= c', 'const a = b >= c']);
  makes('const a = b === c', 'const a = b !== c');
});

test('a side of a condition is left out', () => {
  assert.deepEqual(mutated('const a = b && c'), ['const a = b', 'const a = c', 'const a = b || c']);
  makes('const a = b ?? 0', 'const a = b', 'const a = 0');
});

test('a condition always or never holds', () => {
  makes('if (a) b()', 'if (true) b()', 'if (false) b()', 'if (a) ;');
  makes('const a = b ? 1 : 2', 'const a = true ? 1 : 2', 'const a = false ? 1 : 2');
});

test('a number grows and a sign changes', () => {
  makes('const a = b + 7', 'const a = b - 7', 'const a = b + 8');
  assert.deepEqual(mutated("const a = b + 'x'"), []);
});

test('a statement and a value are left out', () => {
  makes('function f() { g(); return h }', 'function f() { ; return h }', 'function f() { g(); return null }');
  makes('const f = (a) => a', 'const f = (a) => undefined');
});

test('a property, an element and a spread are left out', () => {
  makes('const a = { ...b, c: 0 }', 'const a = { c: 0 }', 'const a = { ...b }');
  makes('const a = [...b, c]', 'const a = [c]', 'const a = [...b]');
  makes('const a = [b]', 'const a = []');
});

test('a step of a chain is left out', () => {
  makes('const a = b.filter(c).map(d)', 'const a = b.map(d)', 'const a = b.filter(c)');
  makes('const a = b.some(c)', 'const a = b.every(c)');
  makes('const a = b?.c', 'const a = b.c');
  makes('const a = Math.min(b, c)', 'const a = Math.max(b, c)');
});

test('a mutant says where it stands', () => {
  const [{ line, code, before, text }] = mutantsOf('\n  const a = !b;\n');
  assert.deepEqual({ line, code, before, text }, { line: 2, code: 'const a = !b;', before: '!b', text: 'b' });
});

test('the plan names files and tests that exist', () => {
  const root = new URL('../../', import.meta.url);
  const files = FOLDERS.flatMap((folder) =>
    readdirSync(new URL(`static/${folder}/`, root)).map((name) => `${folder}/${name}`),
  );
  const unused = PLAN.filter(([pattern]) => !files.some((file) => pattern.test(file))).map(String);
  const missing = PLAN.flatMap(([, commands]) => commands.map(([script]) => String(script))).filter(
    (script) => !existsSync(new URL(script, root)),
  );
  assert.deepEqual({ unused, missing }, { unused: [], missing: [] });
});

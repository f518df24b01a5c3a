// Creates mutants of the client's store, sync, rules and group tasting, and runs the fast tests on each:
// `node tests/mutants/run.mjs [--files REGEX] [--sample N --seed S] [--again REPORT] [--jobs N]
// [--at-least PERCENT]`. `--again` runs only the survivors of an earlier report.
import { readFileSync, readdirSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { parseArgs } from 'node:util';
import { ask, timeOf } from './ask.mjs';
import { mutantsOf } from './operators.mjs';
import { FOLDERS, PLAN } from './plan.mjs';

const STATIC = new URL('../../static/', import.meta.url);
const { values: options } = parseArgs({
  options: {
    files: { type: 'string', default: '' },
    sample: { type: 'string' },
    seed: { type: 'string', default: '1' },
    jobs: { type: 'string', default: '2' },
    again: { type: 'string' },
    'at-least': { type: 'string', default: '0' },
  },
});

/** @type {{ file: string, code: string, before: string, after: string, reason: string }[]} */
const allowed = JSON.parse(readFileSync(new URL('allowed.json', import.meta.url), 'utf8'));

/** @returns {{ file: string, source: string, commands: string[][] }[]} */
function subjects() {
  const names = FOLDERS.flatMap((folder) =>
    readdirSync(new URL(folder, STATIC))
      .sort()
      .filter((name) => name.endsWith('.js'))
      .map((name) => `${folder}/${name}`),
  );
  const wanted = new RegExp(String(options.files));
  return names
    .filter((name) => wanted.test(name))
    .flatMap((file) => {
      const commands = PLAN.find(([pattern]) => pattern.test(file))?.[1];
      return commands ? [{ file, commands: [...commands], source: readFileSync(new URL(file, STATIC), 'utf8') }] : [];
    });
}

/**
 * @template T
 * @param {T[]} all
 * @returns {T[]} the survivors of the given report, or all without one
 */
function survivorsOf(all) {
  if (options.again === undefined) return all;
  const told = new Set(readFileSync(options.again, 'utf8').split('\n'));
  return all.filter((one) => told.has(lineOf(one)));
}

/**
 * Sample mutants, the same for the same seed (linear congruential generator).
 * @template T
 * @param {T[]} all
 * @returns {T[]}
 */
function sampled(all) {
  if (options.sample === undefined) return all;
  let state = Number(options.seed) >>> 0;
  const drawn = all.map((each) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return { each, state };
  });
  const chosen = new Set(
    drawn
      .sort((one, other) => one.state - other.state)
      .slice(0, Number(options.sample))
      .map(({ each }) => each),
  );
  return all.filter((each) => chosen.has(each));
}

/** @param {any} mutant */
function isAllowed({ file, code, before, text }) {
  return allowed.some(
    (each) => each.file === file && each.code === code && each.before === before && each.after === text,
  );
}

const folder = await mkdtemp(join(tmpdir(), 'mutants-'));
const began = Date.now();
try {
  const all = subjects();
  /** @type {Map<string, number>} by the names of the tests */
  const patience = new Map();
  const namesOf = (/** @type {string[][]} */ commands) => commands.join().split(',').sort().join();
  for (const { file, commands } of all) {
    const names = namesOf(commands);
    if (!patience.has(names)) patience.set(names, await timeOf(commands, file));
  }
  const mutants = sampled(
    survivorsOf(
      all.flatMap(({ file, source, commands }) => mutantsOf(source).map((one) => ({ ...one, file, source, commands }))),
    ),
  );
  const waiting = mutants.filter((one) => !isAllowed(one)).values();
  /** @type {Map<string, { killed: number, survivors: any[] }>} */
  const counts = new Map(all.map(({ file }) => [file, { killed: 0, survivors: [] }]));
  await Promise.all(
    Array.from({ length: Number(options.jobs) }, async (_, job) => {
      for (const one of waiting) {
        const path = join(folder, `${job}.js`);
        await writeFile(path, one.source.slice(0, one.start) + one.text + one.source.slice(one.end));
        const count = /** @type {any} */ (counts.get(one.file));
        if (await ask(one.commands, { file: one.file, path, patience_ms: Number(patience.get(namesOf(one.commands))) }))
          count.killed += 1;
        else count.survivors.push(one);
      }
    }),
  );
  process.exitCode = report(counts) < Number(options['at-least']) ? 1 : 0;
} finally {
  await rm(folder, { recursive: true });
}

/**
 * @param {Map<string, { killed: number, survivors: any[] }>} counts
 * @returns {number} percentage of killed mutants
 */
function report(counts) {
  const rows = [...counts].filter(([, { killed, survivors }]) => killed + survivors.length > 0);
  const sum = { killed: 0, survivors: rows.flatMap(([, { survivors }]) => survivors) };
  for (const [, { killed }] of rows) sum.killed += killed;
  console.log(`${'file'.padEnd(28)} killed survived percent`);
  for (const [file, count] of [...rows, ['all', sum]]) {
    const cells = [
      [count.killed, 6],
      [count.survivors.length, 8],
      [percent(count), 7],
    ];
    console.log([file.padEnd(28), ...cells.map(([cell, width]) => String(cell).padStart(width))].join(' '));
  }
  const place = ({ file, line }) => `${file} ${String(line).padStart(5)}`;
  sum.survivors.sort((one, other) => (place(one) < place(other) ? -1 : 1));
  for (const one of sum.survivors) console.log(lineOf(one));
  console.log(
    `${allowed.length} equivalent mutants in tests/mutants/allowed.json; ${Math.round((Date.now() - began) / 1_000)} s`,
  );
  return Number(percent(sum));
}

/** @param {{ killed: number, survivors: any[] }} count */
function percent({ killed, survivors }) {
  return ((100 * killed) / Math.max(1, killed + survivors.length)).toFixed(1);
}

/** @param {any} mutant */
function lineOf({ file, line, before, text, code }) {
  return `static/${file}:${line}: ${short(before)} -> ${short(text)}    in: ${code}`;
}

/** @param {string} text */
function short(text) {
  const line = text.replace(/\s+/g, ' ');
  return line === '' ? '(nothing)' : line;
}

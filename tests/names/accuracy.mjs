// Accuracy of the styles that names speak of: `node tests/names/accuracy.mjs`, as JSON; `tuned` is seen while writing,
// `held` is not; `second` was written later, by another hand,
// `third` after the method was last changed.
import { readFile } from 'node:fs/promises';
import process from 'node:process';
import { stylesFor } from '../../static/rules/label/style_from_name.js';

const read = async (name) => JSON.parse(await readFile(new URL(name, import.meta.url), 'utf8'));
const { lines } = await read('list_lines.json');
const second = (await read('second_list.json')).lines;
const third = (await read('third_list.json')).lines;
const SEED = 20261128;

/** A third of the lines, chosen by a fixed hash of the name. */
function isHeld({ name }) {
  let hash = SEED;
  for (const letter of name) hash = Math.imul(hash ^ letter.codePointAt(0), 16777619) >>> 0;
  return (hash >>> 8) % 3 === 0;
}

function judged(line) {
  const found = stylesFor(line.name, { region: line.region });
  const first = found[0] && found[0].certainty !== 'unsure' ? found[0] : null;
  const right = line.styles ?? [line.style];
  const top1 = right.includes(first?.style ?? null);
  const top3 = top1 || found.slice(0, 3).some(({ style }) => right.includes(style));
  return { ...line, found: first, top1, top3, wrongCertain: first?.certainty === 'certain' && !top1 };
}

function summed(rows, shown) {
  const share = (field) => Math.round((1000 * rows.filter((row) => row[field]).length) / rows.length) / 10;
  return {
    count: rows.length,
    top1: share('top1'),
    top3: share('top3'),
    wrongCertain: rows.filter((row) => row.wrongCertain),
    ...(shown ? { wrong: rows.filter((row) => !row.top1) } : {}),
  };
}

const rows = lines.map(judged);
const famous = rows.filter((row) => row.famous);
const rest = rows.filter((row) => !row.famous);
console.log(
  JSON.stringify(
    {
      famous: summed(famous, true),
      tuned: summed(
        rest.filter((row) => !isHeld(row)),
        true,
      ),
      held: summed(rest.filter(isHeld), process.argv.includes('--all')),
      second: summed(second.map(judged), true),
      third: summed(third.map(judged), true),
    },
    null,
    1,
  ),
);

// Summarizes what the guests noted of one glass.
import { splitAroma } from '../tasting/nose.js';
import { AROMA_FIELDS } from '../tasting/aroma_fields.js';
import { plainText } from '../../lib/plain_text.js';
import { quartiles } from '../stats/quartiles.js';
import { glassGuesses } from './glass_guesses.js';
import { SCALES, valuesOf } from './sheet_grid.js';

/** @typedef {import('./sheet_grid.js').SheetGrid} SheetGrid */
/** @typedef {import('./table_summary.js').AromaCount} AromaCount */
/** @typedef {import('./table_summary.js').Line} Line */

const LINE_FIELDS = ['liking', ...SCALES, 'bitterness', 'finish_s'];
const CHOICE_FIELDS = [
  ...['colour', 'hue', 'depth', 'rim', 'gradation', 'clarity', 'bubbles'].map((part) => `look_${part}`),
  'fruit_state',
  'tannin_texture',
  'warmth_where',
  'standout',
  'would_buy',
  ...SCALES.map((scale) => `just_right_${scale}`),
];

/**
 * @param {SheetGrid} grid
 * @param {import('./table_summary.js').TableGlass} glass
 * @returns {import('./table_summary.js').GlassSummary}
 */
export function glassSummary(grid, { id, mark, bottle }) {
  const lines = LINE_FIELDS.flatMap((field) => {
    const line = lineOf(grid, id, field);
    return line.n ? [/** @type {const} */ ([field, line])] : [];
  });
  const choices = CHOICE_FIELDS.flatMap((field) => {
    const counts = choiceCounts(valuesOf(grid, id, field));
    return counts.length ? [/** @type {const} */ ([field, counts])] : [];
  });
  return {
    glass: id,
    mark,
    sheets: grid.cells.get(id)?.size ?? 0,
    lines: Object.fromEntries(lines),
    aromas: aromaCounts(grid, id),
    choices: Object.fromEntries(choices),
    texts: textsOf(grid, id),
    guesses: glassGuesses(grid, id, bottle ?? null),
  };
}

/**
 * @param {SheetGrid} grid
 * @param {string} glass
 * @param {string} field
 * @returns {Line}
 */
function lineOf(grid, glass, field) {
  const dots = valuesOf(grid, glass, field).filter(({ value }) => typeof value === 'number');
  return { dots: dots.sort((a, b) => a.value - b.value), ...quartiles(dots.map(({ value }) => value)) };
}

/**
 * List what guests wrote in their own words, by the alphabet, so that the order says nothing of the guests.
 * @param {SheetGrid} grid
 * @param {string} glass
 * @returns {{ guest: string, text: string }[]}
 */
function textsOf(grid, glass) {
  const texts = valuesOf(grid, glass, 'words').flatMap(({ guest, value }) => {
    const text = String(value).trim();
    return text ? [{ guest, text }] : [];
  });
  return texts.sort((one, other) => one.text.localeCompare(other.text));
}

/** @param {{ guest: string, value: any }[]} answers */
function choiceCounts(answers) {
  /** @type {Map<string | number, string[]>} */
  const found = new Map();
  for (const { guest, value } of answers)
    for (const one of [value].flat()) found.set(one, [...(found.get(one) ?? []), guest]);
  const counts = [...found].map(([value, guests]) => ({ value, guests }));
  return counts.sort((a, b) => b.guests.length - a.guests.length);
}

/**
 * Count the guests who noted each aroma, on whichever step, shared ones first. Own words are compared without case and
 * accents.
 * @param {SheetGrid} grid
 * @param {string} glass
 * @returns {AromaCount[]}
 */
function aromaCounts({ table, cells }, glass) {
  /** @type {Map<string, AromaCount>} */
  const counts = new Map();
  for (const { id } of table.guests) {
    for (const [key, { aroma, strength }] of notedAromas(cells.get(glass)?.get(id) ?? {})) {
      const count = counts.get(key) ?? { aroma, own: aroma.startsWith('~'), guests: [], strength: 0 };
      count.guests.push(id);
      count.strength += strength;
      counts.set(key, count);
    }
  }
  return [...counts.values()].sort((a, b) => b.guests.length - a.guests.length || b.strength - a.strength);
}

/**
 * Return the aromas of one guest, each once with its greatest strength.
 * @param {import('./table_summary.js').Fields} fields
 */
function notedAromas(fields) {
  /** @type {Map<string, { aroma: string, strength: number }>} */
  const noted = new Map();
  for (const entry of AROMA_FIELDS.flatMap((field) => /** @type {string[]} */ (fields[field] ?? []))) {
    const [aroma, given] = splitAroma(entry);
    const key = aroma.startsWith('~') ? `~${plainText(aroma.slice(1)).trim()}` : aroma;
    const known = noted.get(key);
    const strength = Math.max(given ?? 1, known?.strength ?? 0);
    noted.set(key, { aroma: known?.aroma ?? aroma, strength });
  }
  return noted;
}

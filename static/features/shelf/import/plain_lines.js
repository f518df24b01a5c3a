// Reads a pasted list without columns: each line names a bottle, with its figures between the words.
import { rowOf } from '../../../rules/label_text/list.js';
import { parseCsv } from './csv.js';
import { guessColumns } from './import_rows.js';

/** @typedef {import('./csv.js').Line} Line */
/** @typedef {import('./import_rows.js').Column} Column */
/** @typedef {NonNullable<ReturnType<typeof rowOf>>} Row */

const COLUMNS = /** @type {Column[]} */ (['name', 'vintage', 'abv', 'price']);
const BULLET = /^\s*(?:[-\u2013\u2014\u2022*\u00b7]|\d{1,2}[.)])\s+/;
// A comma here is a decimal comma, because one or two digits follow it.
const DECIMAL_COMMA = /(\d),(?=\d{1,2}(?!\d))/g;
// Labels print one decimal, but people write whole numbers too.
const WHOLE_PERCENT = /(?<![\d.,])(\d{1,2})\s?%/g;
const NAME_AND_ALCOHOL = /(?<!\p{L})(?!alc|alk|vol)\p{L}{3}.*\d\s?%/iu;

/**
 * @param {string} text
 * @param {number} thisYear
 * @returns {{ lines: Line[], columns: Column[] } | null} null if the text has columns
 */
export function readPlainLines(text, thisYear) {
  if (hasColumns(text)) return null;
  const read = text.split(/\r\n?|\n/).flatMap((written, at) => {
    const plain = written.replace(BULLET, '').trim();
    return plain ? [{ line: at + 1, plain, row: rowOf(plain.replace(WHOLE_PERCENT, '$1.0%'), thisYear, false) }] : [];
  });
  const isPriced = read.filter(({ row }) => row && priceOf(row) !== null).length * 2 > read.length;
  const lines = read.map(({ line, plain, row }) => ({
    line,
    cells: row && (isPriced || hasFigures(plain, row)) ? cellsOf(row) : [plain],
  }));
  return { lines, columns: lines.length ? COLUMNS : [] };
}

/** @param {string} text */
function hasColumns(text) {
  if (guessColumns(parseCsv(text)).heading) return true;
  const lines = parseCsv(text.replace(DECIMAL_COMMA, '$1.'));
  const counts = lines.map(({ cells }) => cells.length);
  const isUsual = (/** @type {number} */ count) => counts.filter((each) => each === count).length * 2 > lines.length;
  const mixed = lines.filter(({ cells }) => cells.some((cell) => NAME_AND_ALCOHOL.test(cell)));
  return counts.some((count) => count > 1 && isUsual(count)) && mixed.length * 2 <= lines.length;
}

/** @param {Row} row */
const priceOf = (row) => row.price ?? row.glass;

/**
 * Return whether a line holds more than a number at its end, because that may belong to the name.
 * @param {string} plain
 * @param {Row} row
 */
function hasFigures(plain, row) {
  return row.vintage !== null || row.alcohol !== null || row.currency !== null || /\d[.,]\d{2}(?!\d)/.test(plain);
}

/** @param {Row} row @returns {string[]} in the order of COLUMNS */
function cellsOf(row) {
  const price = priceOf(row);
  return [
    row.name.replace(/\s*,(?:\s*,)*/g, ','),
    String(row.vintage ?? ''),
    String(row.alcohol ?? ''),
    price === null ? '' : `${price} ${row.currency ?? ''}`.trim(),
  ];
}

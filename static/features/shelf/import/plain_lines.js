// Reads a pasted list without columns: each line names a bottle, with its figures between the words.
import { degreesInList } from '../../../rules/label_text/alcohol.js';
import { CURRENCY, UNIT_PRICES } from '../../../rules/label_text/amounts.js';
import { COUNT, rowOf } from '../../../rules/label_text/list.js';
import { withoutServings } from '../../../rules/label_text/servings.js';
import { OTHER_WORD, WORDS_AFTER, WORDS_BEFORE } from './alcohol_words.js';
import { parseCsv } from './csv.js';
import { guessColumns } from './guess_columns.js';
import { joinFigures } from './joined_lines.js';
import { NO_VINTAGE } from './name_and_vintage.js';

/** @typedef {import('./csv.js').Line} Line */
/** @typedef {import('./import_rows.js').Column} Column */
/** @typedef {NonNullable<ReturnType<typeof rowOf>>} Row */

const COLUMNS = /** @type {Column[]} */ (['name', 'vintage', 'abv', 'price', 'note']);
const BULLET = /^\s*(?:[-\u2013\u2014\u2022*\u00b7]|\d{1,2}[.)])\s+/;
/** The dots of a printed list, from the name to its price. */
const LEADER = /[.\u00b7\u2026_]{3,}/g;
/** A space behind it takes it out of the name. */
const MARK_BEFORE_FIGURE = /[;|](?=\d)/g;
// A comma here is a decimal comma, because one or two digits follow it.
const DECIMAL_COMMA = /(\d),(?=\d{1,2}(?!\d))/g;
// Labels print one decimal, but people write whole numbers too.
const WHOLE_PERCENT = /(?<![\d.,])(\d{1,2})\s?%/g;
const PERCENT = /(?<![\d.,])(\d{1,2}(?:[.,]\d)?)\s?%/g;
/** What goes with a figure that is taken out, before and after it. @typedef {[RegExp, RegExp]} Beside */
const NAMED = /** @type {Beside} */ ([WORDS_BEFORE, WORDS_AFTER]);
const BARE = /** @type {Beside} */ ([/^$/, /^$/]);
const IS_PART = new RegExp(`^\\s*${OTHER_WORD}`, 'iu');
const MOST_ALCOHOL = 25;
// Without spaces, because a dash between spaces parts a year or a number of the name from the figure.
const RANGE_OF_ALCOHOL = /(?<![\d.,])\d{1,2}(?:[.,]\d)?[-\u2013]\d{1,2}(?:[.,]\d)?\s?%/;
const AMOUNT = '\\d{1,3}(?:[.,]\\d{1,2})?';
const RANGE_OF_PRICES = new RegExp(`(?<![\\d.,])${AMOUNT}[-\u2013]${AMOUNT}\\s?${CURRENCY}`, 'iu');
/** A minus right before a multiple of five is none of a range, and no alcohol. */
const DISCOUNT = /(?<![^\s(])[-\u2013\u2212](?:5|[1-9][05])\s?%/;
/** A number before the name, which is one of bottles only if all lines have one. */
const NUMBER_FIRST = /^\d{1,3}\s+(?=\p{L})/u;
const LEAST_LINES = 3;
const NAME_HEADING = /(?<!\p{L})(?:wines?|vins?|vin[io]|name|nome?|price|prix|prezzo)(?!\p{L})/giu;
const NAME_AND_ALCOHOL = new RegExp(`${OTHER_WORD}{3}.*\\d\\s?[%°º]`, 'iu');

/**
 * @param {string} text
 * @param {number} thisYear
 * @returns {{ lines: Line[], columns: Column[] } | null} null if the text has columns
 */
export function readPlainLines(text, thisYear) {
  if (hasColumns(text)) return null;
  const joined = joinFigures(text.split(/\r\n?|\n/));
  const isCounted = joined.length >= LEAST_LINES && joined.every((each) => NUMBER_FIRST.test(each.text.trim()));
  const read = joined.flatMap(({ line, text: written }) => {
    const plain = written.replace(BULLET, '').replace(LEADER, ' ').replace(MARK_BEFORE_FIGURE, '$& ').trim();
    if (!plain || isHeading(plain)) return [];
    const { rest, ...taken } = takenOut(plain, isCounted ? NUMBER_FIRST : COUNT);
    return [{ line, plain, taken, row: rowIn(rest, thisYear, rest !== plain) }];
  });
  const isPriced = read.filter(({ row }) => row && priceOf(row) !== null).length * 2 > read.length;
  const lines = read.map(({ line, plain, taken, row }) => ({
    line,
    cells: row && (isPriced || hasFigures(plain, row, taken)) ? cellsOf(row, taken) : [plain],
  }));
  return { lines, columns: lines.length ? COLUMNS : [] };
}

/** @param {string} plain @returns {boolean} whether it only says what the prices below are of: "Glass Bottle" */
function isHeading(plain) {
  const rest = withoutServings(plain);
  return rest !== plain && !/[\p{L}\p{N}]/u.test(rest.replace(NAME_HEADING, ' '));
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

/**
 * @typedef {{ abv: string, price: string, vintage: string, count: string, discount: string }} Taken as written; empty
 *   if the line has none
 */

/**
 * Take out what a printed list does not have: ranges, the price of a litre alone, alcohol far from that of most wines,
 * "no vintage", the number of bottles, discounts. The import makes a note of what is no single number.
 * @param {string} plain
 * @param {RegExp} counted
 * @returns {Taken & { rest: string }}
 */
function takenOut(plain, counted) {
  let rest = plain;
  const take = (/** @type {{ 0: string, index: number } | null | undefined} */ found, [before, after] = BARE) => {
    if (!found) return '';
    const start = rest.slice(0, found.index).replace(before, '');
    rest = `${start} ${rest.slice(found.index + found[0].length).replace(after, '')}`.trim();
    return found[0];
  };
  const count = take(counted.exec(rest)).trim();
  const discount = take(DISCOUNT.exec(rest));
  const [range, sole] = [RANGE_OF_ALCOHOL.exec(rest), soleAlcohol(rest)];
  const percent = take(range, NAMED) || take(sole, NAMED).replace(/\s?%/, '').replace(',', '.');
  const degrees = percent ? null : degreesInList(rest);
  take(degrees && { 0: degrees.text, index: rest.indexOf(degrees.text) }, NAMED);
  const abv = percent || String(degrees?.low ?? '');
  const price = take(RANGE_OF_PRICES.exec(rest)) || take([...rest.matchAll(UNIT_PRICES)][0]).trim();
  const vintage = take(NO_VINTAGE.exec(rest)).replaceAll('.', '');
  return { abv, price, vintage, count, discount, rest };
}

/** @param {string} text @returns {RegExpExecArray | null | undefined} its only percentage, if not a part of a blend */
function soleAlcohol(text) {
  const [only, another] = [...text.matchAll(PERCENT)];
  const value = Number(only?.[1]?.replace(',', '.'));
  const isAlcohol = only && !another && value <= MOST_ALCOHOL && !IS_PART.test(text.slice(only.index + only[0].length));
  return isAlcohol ? only : null;
}

/**
 * @param {string} text @param {number} thisYear @param {boolean} isNamed whether the rest is a name in any case
 * @returns {Row | null}
 */
function rowIn(text, thisYear, isNamed) {
  const row = rowOf(text.replace(WHOLE_PERCENT, '$1.0%'), thisYear, false);
  if (row) return { ...row, name: row.name.replace(/(?<=\d)\.0%/g, '%') };
  const none = { vintage: null, price: null, glass: null, currency: null, alcohol: null };
  return isNamed && /\p{L}{3}/u.test(text) ? { ...none, name: text } : null;
}

/** @param {Row} row */
const priceOf = (row) => row.price ?? row.glass;

/**
 * Return whether a line holds more than a number at its end, because that may belong to the name.
 * @param {string} plain
 * @param {Row} row
 * @param {Taken} taken
 */
function hasFigures(plain, row, taken) {
  if (taken.abv || taken.price || taken.vintage || taken.count || taken.discount) return true;
  return (
    row.vintage !== null ||
    row.alcohol !== null ||
    row.currency !== null ||
    /\d[.,](?:\d{2}(?!\d)|[-\u2013\u2014])/.test(plain)
  );
}

/** @param {Row} row @param {Taken} taken @returns {string[]} in the order of COLUMNS */
function cellsOf(row, taken) {
  const price = priceOf(row);
  const note = [taken.count, taken.discount].filter(Boolean).join(', ');
  return [
    row.name.replace(/\s*,(?:\s*,)*/g, ','),
    String(row.vintage ?? taken.vintage),
    taken.abv || String(row.alcohol ?? ''),
    taken.price || (price === null ? '' : `${price} ${row.currency ?? ''}`.trim()),
    ...(note ? [note] : []),
  ];
}

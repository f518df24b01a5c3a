// Turns the lines of a printed list of wines into rows.
import { alcoholIn, decimalIn, degreesInList } from './alcohol.js';
import { amountOf, currencyIn, inUsualOrder, PRICE, withoutUnitPrices, YEAR } from './amounts.js';
import { withoutEarlierPrices } from './reductions.js';
import { BOTTLE, CARAFE, EACH, GLASS, hasPrices, servedPrices } from './servings.js';

/** @typedef {{ x: number, y: number, width: number, height: number }} Box */
/**
 * @typedef {{ text: string, confidence: number, box: Box, flat?: Box }} Line `flat`: its box in the straightened photo
 */
/**
 * @typedef {{ name: string, vintage: number | null, price: number | null, glass: number | null,
 *   currency: string | null, alcohol: number | null, box: Box }} Row `price` of a bottle, `glass` the price of a glass;
 *   `currency` as printed
 */

/** Two lines whose middles are nearer than this part of their height stand in one row. */
const SAME_ROW = 0.8;
/** If so many rows have prices with cents, all have. */
const PRICED = 0.3;
const OLDEST_YEAR = 1900;
/** A bottle costs as much as these many glasses. */
const USUAL_GLASSES = /** @type {const} */ ([2.5, 10]);
const MOST_GLASSES = 12;
const CENTS = /\d[.,]\d{2}(?!\d|\s?%)/;
const BARE_PRICE = /(?:^|\s|\/)(\d{1,3})(?=\s|\/|$)/g;
/** What stands beside the figure of the alcohol. */
const UNIT_OF_ALCOHOL = /\b(?:vol|alc)\b\.?/giu;

/** The number of bottles in a column before the names. */
export const COUNT = /^\s*\d{1,3}(?:\s?[x×](?=\s)|(?=\s{2}))\s+(?=\p{L})/u;

/**
 * @param {Line[]} lines
 * @param {number} thisYear
 * @returns {Row[]} from top to bottom
 */
export function listRows(lines, thisYear) {
  const grouped = group(lines.filter(({ confidence }) => confidence >= 0.3));
  const headed = { glassFirst: false };
  const texts = grouped.map((parts) => parts.map((part) => part.text).join('  '));
  const bare = texts.map(withoutUnitPrices);
  const hasOnlyLitres = bare.every((text) => text.search(PRICE) < 0);
  const hasCents = texts.filter((text) => CENTS.test(text)).length >= texts.length * PRICED;
  return grouped.flatMap((parts, at) => {
    const text = withCents(String(texts[at]), hasCents);
    if (isHeading(text)) {
      headed.glassFirst = text.search(GLASS) >= 0 && text.search(GLASS) < (text.search(BOTTLE) + 1 || Infinity);
      return [];
    }
    // Beside prices of bottles a line with that of a litre belongs to one of these.
    const isLitre = hasOnlyLitres && bare[at] !== texts[at];
    const row = rowOf(text.replace(COUNT, ''), thisYear, headed.glassFirst, isLitre);
    return row ? [{ ...row, box: around(parts) }] : [];
  });
}

/** @param {Line[]} lines @returns {Line[][]} those that stand beside each other, from left to right */
function group(lines) {
  /** @type {Line[][]} */
  const rows = [];
  for (const line of [...lines].sort((a, b) => middle(a) - middle(b))) {
    const row = rows.find((parts) =>
      parts.some(
        (part) =>
          Math.abs(middle(part) - middle(line)) < SAME_ROW * Math.min(flat(part).height, flat(line).height) &&
          !(startOf(line) < endOf(part) && startOf(part) < endOf(line)),
      ),
    );
    if (row) row.push(line);
    else rows.push([line]);
  }
  return rows.map((parts) => parts.sort((a, b) => startOf(a) - startOf(b)));
}

/** @param {Line} line */
const flat = (line) => line.flat ?? line.box;
/** @param {Line} line */
const middle = (line) => flat(line).y + flat(line).height / 2;
/** @param {Line} line */
const startOf = (line) => flat(line).x;
/** @param {Line} line the end, without what two boxes may share */
const endOf = (line) => flat(line).x + flat(line).width * 0.9;

/**
 * Repair the price at the end of a line: letters for digits, and the lost comma of a list whose prices have cents.
 * @param {string} text
 * @param {boolean} hasCents
 */
function withCents(text, hasCents) {
  return text.replace(
    /(?<=\s)([\dIlO|]{1,5})(?:[.,;/:]([\dIlO]{2}))?(?=\s?(?:[€£$]|CHF)?[\s.|]*$)/u,
    (whole, units, cents) => {
      const digits = (/** @type {string} */ part) => part.replace(/[Il|]/g, '1').replace(/O/g, '0');
      if (cents) return `${digits(units)}.${digits(cents)}`;
      if (!/\d/.test(units)) return whole;
      const number = digits(units);
      const isYear = /^(?:19|20)\d{2}$/.test(number);
      return hasCents && !isYear && /^\d{4,5}$/.test(number) ? `${number.slice(0, -2)}.${number.slice(-2)}` : whole;
    },
  );
}

/** @param {string} text */
function isHeading(text) {
  const rest = text.replace(GLASS, '').replace(BOTTLE, '');
  return rest !== text && text.search(PRICE) < 0 && !/\d{2}/.test(rest.replace(CARAFE, ''));
}

/**
 * @param {string} line
 * @param {number} thisYear
 * @param {boolean} glassFirst whether the list's heading names the glass before the bottle
 * @param {boolean} [isLitre] whether it is a wine without a year, a price and an alcohol too
 */
export function rowOf(line, thisYear, glassFirst, isLitre = false) {
  const text = withoutEarlierPrices(withoutUnitPrices(line));
  const alcohol = alcoholIn(text) ?? decimalIn(text) ?? degreesInList(text);
  let rest = alcohol ? text.replace(alcohol.text, ' ').replace(UNIT_OF_ALCOHOL, ' ') : text;
  const year = [...rest.matchAll(YEAR)].find(([, found]) => Number(found) >= OLDEST_YEAR && Number(found) <= thisYear);
  if (year) rest = withoutYear(rest, year.index);
  rest = inUsualOrder(rest);
  const byGlass = rest.search(GLASS) >= 0;
  const single = rest.replace(GLASS, ' ').replace(BOTTLE, ' ').replace(EACH, ' ');
  // Without another price a carafe is what the list names.
  const sized = hasPrices(single) || (byGlass && rest.search(BOTTLE) >= 0) ? single.replace(CARAFE, ' ') : single;
  const served = servedPrices(rest.replace(EACH, ' '));
  const { amounts, left } = served
    ? { amounts: [served.price], left: served.left }
    : pricesIn(byGlass ? sized : withoutOtherPrices(sized));
  const name = left
    .replace(/[.·…_]{2,}/g, ' ')
    .replace(/\([^\p{L}\p{N}()]*\)/gu, ' ')
    .replace(/(?:\s[|/\\–—-]+|[|/\\;:–—-]+)(?=\s|$)/g, ' ')
    .replace(/[,;.\s°]+$/, '')
    .replace(/\s+/g, ' ')
    .trim();
  if (!/\p{L}{3}/u.test(name) || (!amounts.length && !year && !alcohol && !isLitre)) return null;
  const prices = served ? { price: served.price, glass: served.glass } : priced(amounts, byGlass, glassFirst);
  const currency = amounts.length ? currencyIn(sized) : null;
  return { name, vintage: year ? Number(year[1]) : null, ...prices, currency, alcohol: alcohol?.low ?? null };
}

/**
 * Take the year out. A line parts numbers on both sides of it: the first belongs to the name, the last is a price.
 * @param {string} text @param {number} index of the year
 */
function withoutYear(text, index) {
  const after = text.slice(index + 4);
  return `${text.slice(0, index)} ${/\d/.test(after) ? '|' : ''} ${after}`;
}

/** @param {number[]} amounts @param {boolean} byGlass @param {boolean} glassFirst */
function priced(amounts, byGlass, glassFirst) {
  const [first = null] = amounts;
  if (first === null) return { price: null, glass: null };
  if (amounts.length > 1) {
    // A glass costs less than its carafe and its bottle, in whatever order they stand.
    const [less, more] = withLostComma(Math.min(...amounts), Math.max(...amounts));
    return { price: Math.max(less, more), glass: Math.min(less, more) };
  }
  return byGlass || (glassFirst && first < 15) ? { price: null, glass: first } : { price: first, glass: null };
}

/**
 * Put back the comma of the larger of two prices, if a bottle would cost the price of too many glasses.
 * @param {number} less
 * @param {number} more
 * @returns {[number, number]}
 */
function withLostComma(less, more) {
  if (more <= MOST_GLASSES * less || !Number.isInteger(more)) return [less, more];
  const ratio = (/** @type {number} */ price) => Math.max(price, less) / Math.min(price, less);
  const found = [more / 100, more / 10].find(
    (price) => ratio(price) >= USUAL_GLASSES[0] && ratio(price) <= USUAL_GLASSES[1],
  );
  return [less, found ?? more];
}

/**
 * Keep the first of several prices between which words stand, without these: "£9.00 with card £7.50", "9 € statt 12 €".
 * @param {string} text
 */
function withoutOtherPrices(text) {
  const [first, ...others] = [...text.matchAll(PRICE)];
  const last = others.at(-1);
  if (!first || !last || !/\p{L}{3}/u.test(text.slice(0, first.index))) return text;
  const end = first.index + first[0].length;
  const isNamed = /\p{L}{2}/u.test(text.slice(end, last.index).replace(PRICE, ' '));
  return isNamed ? `${text.slice(0, end)} ${text.slice(last.index + last[0].length).replace(/^\s*\)/, '')}` : text;
}

/** @param {string} text @returns {{ amounts: number[], left: string }} */
function pricesIn(text) {
  /** @type {number[]} */
  const amounts = [];
  let left = text.replace(PRICE, (_, ...found) => {
    amounts.push(amountOf(String(found.slice(0, 4).find(Boolean))));
    return ' ';
  });
  // Without a currency and cents a number is a price only at the end of its line.
  if (!amounts.length)
    left = left.replace(/(?:\s+\/?\s*\d{1,3}(?=\s|\/|$))+\s*$/, (tail) => {
      amounts.push(...[...tail.matchAll(BARE_PRICE)].map(([, number]) => Number(number)));
      return ' ';
    });
  // Beside another price a number that stands apart is one too.
  if (amounts.length === 1)
    left = left.replace(/\s{2,}(\d{1,5})\s*$/, (_, number) => {
      amounts.push(Number(number));
      return ' ';
    });
  return { amounts: amounts.filter((amount) => amount > 0), left };
}

/** @param {Line[]} parts @returns {Box} */
function around(parts) {
  const x = Math.min(...parts.map(({ box }) => box.x));
  const y = Math.min(...parts.map(({ box }) => box.y));
  const right = Math.max(...parts.map(({ box }) => box.x + box.width));
  const bottom = Math.max(...parts.map(({ box }) => box.y + box.height));
  return { x, y, width: right - x, height: bottom - y };
}

const HEADINGS = /** @type {const} */ (['name', 'vintage', 'price', 'glass', 'alcohol']);
const ENGLISH = { name: 'name', vintage: 'vintage', price: 'price', glass: 'glass', alcohol: 'alcohol' };

/**
 * Return rows as the import of a list takes them: headings, then a line for each row, delimited by tabs. A column
 * without a value is left out.
 * @param {Row[]} rows
 * @param {Record<typeof HEADINGS[number], string>} [headings] in the language of the reader
 * @returns {string} empty without rows
 */
export function listText(rows, headings = ENGLISH) {
  if (!rows.length) return '';
  const filled = HEADINGS.filter((heading) => rows.some((row) => row[heading] !== null));
  // The import takes a heading alone for a wine.
  const used = filled.length > 1 ? filled : /** @type {const} */ (['name', 'price']);
  const lines = rows.map((row) => used.map((heading) => cellOf(row, heading).replace(/[\t\n"]/g, ' ')).join('\t'));
  return [used.map((heading) => headings[heading]).join('\t'), ...lines].join('\n');
}

/** @param {Row} row @param {typeof HEADINGS[number]} heading */
function cellOf(row, heading) {
  const value = row[heading];
  const isPrice = heading === 'price' || heading === 'glass';
  return isPrice && value !== null && row.currency ? `${row.currency} ${value}` : String(value ?? '');
}

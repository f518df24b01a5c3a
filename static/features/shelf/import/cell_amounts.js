// Reads the amounts and currencies in the cells of a list.
import { currencySign, parseNumber } from '../../../lib/format.js';
import { CURRENCY } from '../../../rules/label_text/amounts.js';
import { ALCOHOL_WORDS } from './alcohol_words.js';

const SIGNS = new RegExp(CURRENCY, 'giu');
/** "14€95", "14 euros 95" and "13°5". */
const BEFORE_DECIMALS = new RegExp(`(\\d)(?:\\s?${CURRENCY}\\s?(?=\\d{2}(?!\\d))|[°º](?=\\d(?!\\d)))`, 'iu');

/** What Canada, Australia, New Zealand and others write before "$". */
const DOLLARS = /** @type {Record<string, string>} */ ({
  US: 'USD',
  C: 'CAD',
  CA: 'CAD',
  A: 'AUD',
  AU: 'AUD',
  NZ: 'NZD',
});

/**
 * Write the codes of "NZ$38" and, where the usual currency is the rand, of "R180".
 * @param {string} text
 * @param {string | null} usual
 */
export function withCurrencyCodes(text, usual) {
  const coded = text.replace(/(?<![\p{L}\d])(US|CA?|AU?|NZ)\$/gu, (_, before) => `${DOLLARS[before]} `);
  return usual === 'ZAR' ? coded.replace(/(?<![\p{L}\d])R[ \u00a0]?(?=\d)/gu, 'ZAR ') : coded;
}

/**
 * Parse a number with currency or unit; null if empty, NaN if invalid.
 * @param {string} cell
 * @param {boolean} [thousands] see `parseNumber()`
 */
export function parseAmount(cell, thousands = true) {
  return parseNumber(figureOf(cell), thousands);
}

/** Return what is left of an amount without currency, unit and words. @param {string} cell */
export function figureOf(cell) {
  return cell
    .replace(ALCOHOL_WORDS, '')
    .replace(BEFORE_DECIMALS, '$1.')
    .replace(SIGNS, '')
    .replace(/[€$£¥%°º]|\b[A-Z]{3}\b|['\u2019\s]/gi, '')
    .replace(/[.,][-\u2013\u2014]+$/, '');
}

const MONEY = /** @type {Record<string, string>} */ ({
  '€': 'EUR',
  EURO: 'EUR',
  EUROS: 'EUR',
  '£': 'GBP',
  '¥': 'JPY',
  FR: 'CHF',
  'FR.': 'CHF',
  ZŁ: 'PLN',
  KČ: 'CZK',
  FT: 'HUF',
});
/** Signs of several currencies. */
const DOLLAR = /\$/;
const KRONA = /(?<!\p{L})kr(?!\p{L})/iu;
const IN_KRONOR = ['SEK', 'NOK', 'DKK', 'ISK'];

/**
 * "$" is a currency only if the usual one is a dollar, and "kr" only if it is a krona.
 * @param {string | null} cell
 * @param {string | null} usual
 * @param {string | null} bare that of a price without one
 */
export function currencyOf(cell, usual, bare = usual) {
  const named = currencyIn(cell);
  if (named || !cell || !isShared(cell)) return named ?? bare;
  const isUsual = DOLLAR.test(cell) ? currencySign(usual).includes('$') : IN_KRONOR.includes(usual ?? '');
  return isUsual ? usual : null;
}

/** @param {string} cell */
const isShared = (cell) => DOLLAR.test(cell) || KRONA.test(cell);

/**
 * Return the currency of the prices without one in a list: the only one of the others, or the usual one if none has
 * any.
 * @param {string[]} cells
 * @param {string | null} usual
 */
export function bareCurrency(cells, usual) {
  const named = cells.filter((cell) => isShared(cell) || currencyIn(cell));
  const [only = null, ...others] = new Set(named.map((cell) => currencyOf(cell, usual)));
  if (!named.length) return usual;
  return others.length ? null : only;
}

/** Find the currency. "$" and "kr" are ambiguous and give none. @param {string | null} cell */
function currencyIn(cell) {
  const code = cell?.match(/\b[A-Z]{3}\b/)?.[0];
  if (code && Intl.supportedValuesOf('currency').includes(code)) return code;
  const sign = new RegExp(CURRENCY, 'iu').exec(cell ?? '')?.[0].toUpperCase() ?? '$';
  return MONEY[sign] ?? (isShared(sign) ? null : sign);
}

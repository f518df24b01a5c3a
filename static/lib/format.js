// Formats numbers, dates and units by the user's settings and locale. Records use millilitres,
// degrees Celsius and RFC 3339.
import { dateFormat, numberFormat } from './intl_cache.js';
import { isolated } from './isolate.js';
import { locale } from '../i18n.js';

/** @param {number} value @param {number} [digits] */
export function number(value, digits = 1) {
  return numberFormat(locale(), { maximumFractionDigits: digits }).format(value);
}

/** @param {number} value percent by volume */
export function abv(value) {
  return numberFormat(locale(), {
    style: 'unit',
    unit: 'percent',
    minimumFractionDigits: Number.isInteger(value) ? 0 : 1,
    maximumFractionDigits: 2,
  }).format(value);
}

/** @param {number} share 0..1 */
export function percent(share) {
  return numberFormat(locale(), { style: 'percent', maximumFractionDigits: 0 }).format(share);
}

/**
 * Format a day. A date without a time is parsed at noon, because it would be midnight of Greenwich otherwise, which is
 * the day before west of there.
 * @param {string} moment RFC 3339, or YYYY-MM-DD
 * @param {Intl.DateTimeFormatOptions} [options]
 */
export function date(moment, options = { day: 'numeric', month: 'short', year: 'numeric' }) {
  return dateFormat(locale(), options).format(new Date(moment[10] ? moment : `${moment}T12:00`));
}

/** @param {string} moment RFC 3339 */
export function time(moment) {
  return dateFormat(locale(), { hour: 'numeric', minute: '2-digit' }).format(new Date(moment));
}

/**
 * @param {number} amount
 * @param {string | null | undefined} currency ISO 4217; without it, a broken amount has two decimals
 */
export function price(amount, currency) {
  const style = currency
    ? { style: 'currency', currency }
    : { minimumFractionDigits: Number.isInteger(amount) ? 0 : 2, maximumFractionDigits: 2 };
  return numberFormat(locale(), /** @type {Intl.NumberFormatOptions} */ (style)).format(amount);
}

/**
 * Return the currency symbol in the user's language.
 * @param {string | null | undefined} currency ISO 4217
 */
export function currencySign(currency) {
  if (!currency) return '';
  return (
    numberFormat(locale(), { style: 'currency', currency })
      .formatToParts(0)
      .find((part) => part.type === 'currency')?.value ?? currency
  );
}

/** @param {number} celsius @param {string | null | undefined} unit */
export function temperature(celsius, unit) {
  const fahrenheit = unit === 'fahrenheit';
  const value = fahrenheit ? (celsius * 9) / 5 + 32 : celsius;
  return numberFormat(locale(), {
    style: 'unit',
    unit: fahrenheit ? 'fahrenheit' : 'celsius',
    maximumFractionDigits: fahrenheit ? 0 : 1,
  })
    .format(value)
    .replace(' ', '\u00a0');
}

/** @param {number} ml @param {string | null | undefined} unit */
export function volume(ml, unit) {
  const ounces = unit === 'fluid_ounce';
  return numberFormat(locale(), {
    style: 'unit',
    unit: ounces ? 'fluid-ounce' : 'milliliter',
    maximumFractionDigits: ounces ? 1 : 0,
  }).format(ounces ? ml / ML_PER_US_FLUID_OUNCE : ml);
}

/** @param {string[]} items */
export function list(items) {
  return new Intl.ListFormat(locale(), { type: 'conjunction' }).format(items.map(isolated));
}

// 27 CFR 4.10 and NIST Handbook 44, appendix C: one US fluid ounce.
export const ML_PER_US_FLUID_OUNCE = 29.5735295625;

/** Groups of digits, the last of three, and perhaps decimals after the other mark. "0.750" has no groups. */
const GROUPED = /^-?[1-9]\d{0,2}([.,])(?:\d{2,3}\1)*\d{3}(?:(?!\1)[.,]\d*)?$/;

/**
 * Parse a number with decimal point or comma; null if empty, NaN if invalid.
 * @param {string} text
 * @param {boolean} [thousands] whether the only mark parts the thousands if three digits follow: "1,200"
 */
export function parseNumber(text, thousands = false) {
  const plain = text.replace(/[\s%'\u2019]/g, '').replace('\u2212', '-');
  const mark = (thousands || /[.,].*[.,]/.test(plain)) && GROUPED.exec(plain)?.[1];
  const clean = plain.replaceAll(mark || ' ', '').replace(',', '.');
  if (!clean) return null;
  return /[^\d.-]/.test(clean) ? NaN : Number(clean);
}

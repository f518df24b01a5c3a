// Amounts of money as lists print them, and what they cost by the litre.

export const CURRENCY = '(?<!\\p{L})(?:€|£|\\$|¥|CHF|EUR(?:OS?)?|GBP|USD|JPY|Fr\\.?)(?!\\p{L})';
const GAP = '[ \u00a0\u202f]?';
/** A space parts the thousands only after one digit, because more digits are a number of the name or another price. */
const THOUSANDS = "(?<![\\d.,])(?:[1-9][ \u00a0\u202f]\\d{3}|[1-9]\\d{0,2}[.,'\u2019]\\d{3})(?!\\d)";
/** Dashes in the place of the cents, as in Switzerland. */
const NO_CENTS = '[.,][-–—]{1,2}';
const AMOUNT = `(?:${THOUSANDS}|\\d{1,6})(?:[.,]\\d{2}|${NO_CENTS}|[.,]\\d)?`;
const WITH_CENTS = '(?<![\\d.,])(\\d{1,4}[.,]\\d{2})(?![\\d%])';
const WITHOUT_CENTS = `(?<![\\d.,'\u2019])((?:${THOUSANDS}|\\d{1,4})${NO_CENTS})(?!\\d)`;
/** A price; one of its four groups is the amount. */
export const PRICE = new RegExp(
  `${CURRENCY}\\s?(${AMOUNT})|(${AMOUNT})\\s?${CURRENCY}|${WITH_CENTS}|${WITHOUT_CENTS}`,
  'giu',
);

/** A currency behind an amount without one belongs to that, and not to the number that follows. */
const SIGN_BEFORE = `(?<!(?<!${CURRENCY}${GAP})(?<![\\d.,])\\d[\\d.,]{0,8}[–—-]{0,2}${GAP})${CURRENCY}`;
const IS_AMOUNT = `${NO_CENTS}|\\s?${CURRENCY}(?![\\s.]*\\d)`;
/** A number that may be a year, and is no price. */
export const YEAR = new RegExp(
  `(?<![\\d.,])(?<!${SIGN_BEFORE}${GAP})(1[89]\\d{2}|20\\d{2})(?![\\d.,]\\d|\\d|${IS_AMOUNT})`,
  'giu',
);

const LITRE = '(?:l|lt|ltr|lit(?:re|er|ro)s?)';
const BY_LITRE = [
  `(?:/|per|pro|par|je)${GAP}(?:(?:1${GAP})?${LITRE}|100${GAP}ml)`,
  `(?:al?|au|il|le)${GAP}lit(?:re|er|ro)`,
].join('|');
const PER_LITRE = `(?<!\\p{L})(?:${BY_LITRE})(?![\\p{L}\\p{N}'\u2019])`;
const MONEY = [
  `${SIGN_BEFORE}${GAP}${AMOUNT}`,
  `${AMOUNT}${GAP}${CURRENCY}`,
  '\\d{1,4}[.,]\\d{2}',
  '\\d{1,3}(?:\\.\\d{1,2})?p',
].join('|');
const UNIT_PRICE = [
  `(?:soit${GAP})?(?:${MONEY})${GAP}${PER_LITRE}`,
  `(?<![\\p{L}\\d.,])1${GAP}${LITRE}${GAP}=${GAP}(?:${MONEY})`,
].join('|');
const SIZE = `\\d[\\d.,]{0,5}${GAP}(?:[cm]?l)${GAP}[,;/]${GAP}`;
const UNIT_PRICES = new RegExp(`${GAP}(?:\\(${GAP}(?:${SIZE})?(?:${UNIT_PRICE})${GAP}\\)|${UNIT_PRICE})`, 'giu');
/** What says that a price is that of a litre. */
export const OF_A_LITRE = new RegExp(PER_LITRE, 'iu');

/** Take out the prices of a litre, which shops print beside those of the bottles. @param {string} text */
export function withoutUnitPrices(text) {
  return text.replace(UNIT_PRICES, ' ');
}

/** @param {string} text @returns {string | null} the currency that stands beside a price */
export function currencyIn(text) {
  const beside = [...text.matchAll(PRICE)].map(([whole]) => new RegExp(CURRENCY, 'iu').exec(whole)?.[0]).find(Boolean);
  if (!beside) return null;
  return /^fr/i.test(beside) ? 'CHF' : /^eur/i.test(beside) ? 'EUR' : beside.toUpperCase();
}

/** @param {string} written */
export function amountOf(written) {
  const plain = written.replace(/[.,][-–—]+$/, '').replace(/(?<=\d)[\s.,'\u2019](?=\d{3}(?!\d))/g, '');
  return Number(plain.replace(',', '.'));
}

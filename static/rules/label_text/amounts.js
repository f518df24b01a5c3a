// Amounts of money as lists print them, and what they cost by the litre.

export const CURRENCY = `(?<!\\p{L})(?:${[
  '€|£|\\$|¥|CHF|EUR(?:OS?)?|GBP|USD|JPY|AUD|CAD|NZD|ZAR|Fr\\.?',
  'kr\\.?|SEK|DKK|NOK|ISK|zł|PLN|Kč|CZK|Ft|HUF',
].join('|')})(?!\\p{L})`;
const GAP = '[ \u00a0\u202f]?';
/** A space parts the thousands only after one digit, because more digits are a number of the name or another price. */
const THOUSANDS = "(?<![\\d.,])(?:[1-9][ \u00a0\u202f]\\d{3}|[1-9]\\d{0,2}[.,'\u2019]\\d{3})(?!\\d)";
/** Dashes in the place of the cents, as in Switzerland. */
const NO_CENTS = '[.,][-–—]{1,2}';
const AMOUNT = `(?:${THOUSANDS}|\\d{1,6})(?:[.,]\\d{2}|${NO_CENTS}|[.,]\\d)?`;
const WITH_CENTS = "(?<![\\d.,])(\\d{1,4}[.,]\\d{2})(?![\\d%]|\\s?lt?(?![\\p{L}'\u2019]))";
const WITHOUT_CENTS = `(?<![\\d.,'\u2019])((?:${THOUSANDS}|\\d{1,4})${NO_CENTS})(?!\\d)`;
/** Between a number of the name and a price: "12 € 28,00", "12 €28". */
const SIGN_OF_NEXT = `(?<![.,]\\d{1,2})\\s?${CURRENCY}\\s?\\d{1,4}[.,]\\d{2}(?!\\d)|\\s${CURRENCY}\\d`;
/** A price; one of its four groups is the amount. */
export const PRICE = new RegExp(
  [`${CURRENCY}\\s?(${AMOUNT})`, `(${AMOUNT})(?!${SIGN_OF_NEXT})\\s?${CURRENCY}`, WITH_CENTS, WITHOUT_CENTS].join('|'),
  'giu',
);
/** The same without groups, as a part of another form. */
export const ONE_PRICE = `(?:${PRICE.source.replace(/\((?!\?)/g, '(?:')})`;

/** "cl 75", "l 0,75": the unit before its number, as in Italy. */
const UNIT_FIRST = [
  /(?<!\p{L}|\d\s?)([cm]l)\.?\s?(\d{2,4}(?:[.,]\d)?)(?![.,]?\d)/giu,
  /(?<!\p{L}|\d\s?)(lt?)\.?\s?(0[.,]\d{1,3}|1[.,]5)(?!\d)/giu,
];
/** "0,75 € 28,00": litres without their unit. No bottle costs so little, and "1,5" has not the cents of a price. */
const LITRES = new RegExp(`(?<![\\d.,])(0[.,]\\d{1,3}|1[.,]5)(?=\\s?${CURRENCY}\\s*\\d)`, 'giu');
const CENTS_AFTER = `(?![\\d.,%]|\\s?${CURRENCY})`;
const CENTS_BEHIND_SIGN = [
  new RegExp(`(?<![\\d.,])(\\d{1,3})([€£])(\\d{2})${CENTS_AFTER}`, 'giu'),
  // Between spaces other numbers may be a price, after a number of the name: "12 € 28".
  new RegExp(`(?<![\\d.,])(\\d{1,2})\\s?([€£])\\s(00|[5-9][059])${CENTS_AFTER}`, 'giu'),
];

/** In forints a space after two digits parts the thousands too, because bottles cost more than 10,000. */
const FORINTS = /(?<![\d.,])([1-9]\d)[ \u00a0\u202f](\d{3})(?=\s?(?:Ft|HUF)(?!\p{L}))/gu;

/** Write contents as "75 cl" and prices as "14.95 €". @param {string} text with "cl 75" and "14€95" */
export function inUsualOrder(text) {
  const sized = UNIT_FIRST.reduce((all, form) => all.replace(form, '$2 $1'), text).replace(LITRES, '$1 l');
  return CENTS_BEHIND_SIGN.reduce((all, form) => all.replace(form, '$1.$3 $2'), sized).replace(FORINTS, '$1$2');
}

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
/** The prices of a litre, with the parentheses around them. */
export const UNIT_PRICES = new RegExp(`${GAP}(?:\\(${GAP}(?:${SIZE})?(?:${UNIT_PRICE})${GAP}\\)|${UNIT_PRICE})`, 'giu');
/** What says that a price is that of a litre. */
export const OF_A_LITRE = new RegExp(PER_LITRE, 'iu');

/** Take out the prices of a litre, which shops print beside those of the bottles. @param {string} text */
export function withoutUnitPrices(text) {
  return text.replace(UNIT_PRICES, ' ');
}

/** The signs of which an import needs the code; three currencies are written "kr". */
const CODES = /** @type {[RegExp, string][]} */ ([
  [/^fr/i, 'CHF'],
  [/^eur/i, 'EUR'],
  [/^zł/i, 'PLN'],
  [/^kč/i, 'CZK'],
  [/^ft/i, 'HUF'],
]);

/** @param {string} text @returns {string | null} the currency that stands beside a price */
export function currencyIn(text) {
  const beside = [...text.matchAll(PRICE)].map(([whole]) => new RegExp(CURRENCY, 'iu').exec(whole)?.[0]).find(Boolean);
  if (!beside) return null;
  return CODES.find(([sign]) => sign.test(beside))?.[1] ?? beside.toUpperCase();
}

/** @param {string} written */
export function amountOf(written) {
  const plain = written.replace(/[.,][-–—]+$/, '').replace(/(?<=\d)[\s.,'\u2019](?=\d{3}(?!\d))/g, '');
  return Number(plain.replace(',', '.'));
}

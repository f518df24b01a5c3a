// Reads the alcohol in a line of a label, as recognition gives it, with its usual mistakes.

/**
 * @typedef {Object} Alcohol
 * @property {number} low
 * @property {number} high the same as `low` unless a range is printed
 * @property {boolean} clear whether the statement is complete and nothing in it was repaired
 * @property {string} text the part of the line, as it was read
 */

const NUMBER = String.raw`(\d{1,3}(?:\s?[.,·]\s?\d{1,2})?)`;
// The sign, and what it is read as.
const PERCENT = String.raw`(%|°\s?\/\s?[o0°]|[o0]\s?\/\s?[o0]|‰)`;
const STATEMENT = /\b(?:alc(?:ohol|ool)?|alk(?:ohol)?|alcohol|t\.?a\.?v|titolo|abv|vol(?:ume)?)\b/i;
const BETWEEN = String.raw`\s?(?:-|–|—|to|bis|à|a|al|et|and)\s?`;
const RANGE = new RegExp(`${NUMBER}\\s?${PERCENT}?${BETWEEN}${NUMBER}\\s?${PERCENT}`, 'i');
const SINGLE = new RegExp(`(?<!\\d|\\d[.,])${NUMBER}\\s?${PERCENT}`, 'i');
const DEGREES = /(?<!\d|\d[.,])(\d{1,2}(?:[.,]\d)?)\s?[°º](?!\s?[CFcf\d])/;
const WITHOUT_SIGN = new RegExp(`(?<!\\d|\\d[.,])${NUMBER}\\s?[^\\d\\s]{0,2}\\s?vol\\b`, 'i');
/** Of wine, fortified wine included. */
const LOWEST = 4.5;
const HIGHEST = 22.5;
/** Outside of these a digit may be missing or wrong. */
const USUAL_LOWEST = 8;
const USUAL_HIGHEST = 16.5;
/** Digits that are read as letters next to a digit. */
const LETTERS = new Map(Object.entries({ O: '0', o: '0', Q: '0', D: '0', l: '1', I: '1', '|': '1', S: '5', B: '8' }));

/**
 * @param {string} line
 * @returns {Alcohol | null}
 */
export function alcoholIn(line) {
  const { text, repaired } = repair(line);
  const found = rangeIn(text) ?? singleIn(text) ?? degreesIn(text) ?? bareIn(text);
  if (!found) return null;
  // A repair replaces letter by letter, so that the places are those of the line as it was read.
  const at = text.indexOf(found.text);
  return { ...found, clear: found.clear && !repaired, text: line.slice(at, at + found.text.length) };
}

/**
 * Replace letters between digits, or between a digit and the sign.
 * @param {string} line
 */
function repair(line) {
  const text = line
    .replace(/([\d.,])([OoQDlI|SB])(?=[\d.,%]|\s?%)/g, (_, before, letter) => `${before}${LETTERS.get(letter)}`)
    .replace(/(?<![\p{L}\d])([lI|])(?=\d[.,]\d|\d\s?%)/gu, '1');
  return { text, repaired: text !== line };
}

/** @param {string} text @returns {Alcohol | null} */
function rangeIn(text) {
  const match = RANGE.exec(text);
  if (!match || !STATEMENT.test(text)) return null;
  const [low, high] = [numberOf(String(match[1])), numberOf(String(match[3]))];
  if (!low || !high || low.value >= high.value || !isWine(low.value) || !isWine(high.value)) return null;
  // The US range of 27 CFR 4.36(b)(2) is at most three points wide.
  const clear = high.value - low.value <= 3 && !low.lostComma && !high.lostComma;
  return { low: low.value, high: high.value, clear, text: match[0] };
}

/** @param {string} text @returns {Alcohol | null} */
function singleIn(text) {
  const match = SINGLE.exec(text);
  const number = match && numberOf(String(match[1]));
  if (!number || !isWine(number.value)) return null;
  const stated = STATEMENT.test(text);
  // "85 % Merlot" says no alcohol, nor does "15 % Syrah".
  if (!stated && /\p{L}{4,}/u.test(text)) return null;
  const clear = stated && match[2] === '%' && !number.lostComma && isUsual(number.value);
  return { low: number.value, high: number.value, clear, text: match[0] };
}

/** @param {string} text @returns {Alcohol | null} "12,5°", the old form in France and Italy */
function degreesIn(text) {
  const match = DEGREES.exec(text);
  const value = match ? Number(String(match[1]).replace(',', '.')) : 0;
  if (!match || !isWine(value) || (!STATEMENT.test(text) && /\p{L}{4,}/u.test(text))) return null;
  return { low: value, high: value, clear: isUsual(value) && /[.,]/.test(String(match[1])), text: match[0] };
}

/** @param {string} text @returns {Alcohol | null} a statement whose sign was not read */
function bareIn(text) {
  const match = WITHOUT_SIGN.exec(text);
  const number = match && numberOf(String(match[1]));
  if (!number || !isWine(number.value)) return null;
  return { low: number.value, high: number.value, clear: false, text: match[0] };
}

const DECIMAL = /(?<![\d.,])(\d{1,2}[.,]\d)\s?%/;

/**
 * Return a percentage with a decimal, as a list prints the alcohol beside a name; the parts of a blend have none.
 * @param {string} line
 * @returns {Alcohol | null}
 */
export function decimalIn(line) {
  const match = DECIMAL.exec(line);
  const value = match ? Number(String(match[1]).replace(',', '.')) : 0;
  return match && isUsual(value) ? { low: value, high: value, clear: false, text: match[0] } : null;
}

const NO_RANGE = String.raw`(?!\s?[-–/]\s?\d{1,2}\s?[°º])`;
const DEGREES_OF_LIST = new RegExp(
  String.raw`(?<![\d.,])(\d{1,2})(?:[.,](\d))?\s?` +
    String.raw`(?:[°º](\d)?(?!\d|\s?[CF](?!\p{L}))|(?:gradi|grados|degr[ée]s)(?!\p{L}))${NO_RANGE}`,
  'giu',
);
/** Behind these the degrees are a temperature: "servire a 14°", "14-16°". */
const SERVED_AT = [
  /(?<!\p{L})(?:a|à|at|bei|tra|fra|entre|et|e|und|and|to|serv\p{L}*|temp\p{L}*)[\s.:]*$/iu,
  /(?<!\d)\d{1,2}[°º]?\s?[-–/]\s?$/u,
];
/** Before another word a whole number counts something else: "10° anniversario". */
const COUNTED = /^\s*(?!(?:vol|alc|alk|abv|tav|d['’]alc|eur|chf|gbp|usd|fr\.|la\s|alla\s|a\s|[cm]?l\.?\s?\d))\p{L}/iu;
const ALCOHOL_BEHIND = /^\s(?:d['’]alcool|alcooliques?|alcolici)(?!\p{L})/iu;

/**
 * Return the degrees beside a name in a list: "13,5°", "13°5", "13 gradi".
 * @param {string} line
 * @returns {Alcohol | null}
 */
export function degreesInList(line) {
  for (const match of line.matchAll(DEGREES_OF_LIST)) {
    const [text, whole, tenth, tenthBehind] = match;
    const decimal = tenth ?? tenthBehind;
    const value = Number(`${whole}.${decimal ?? 0}`);
    const after = line.slice(match.index + text.length);
    const isAlcohol = decimal || (value >= USUAL_LOWEST && !COUNTED.test(after));
    const before = line.slice(0, match.index);
    if (isWine(value) && isAlcohol && !SERVED_AT.some((words) => words.test(before)))
      return { low: value, high: value, clear: false, text: text + (ALCOHOL_BEHIND.exec(after)?.[0] ?? '') };
  }
  return null;
}

/** @param {string} written @returns {{ value: number, lostComma: boolean } | null} */
function numberOf(written) {
  const plain = written.replace(/\s/g, '').replace(/[,·]/, '.');
  const value = Number(plain);
  if (plain.includes('.') || value < 100) return { value, lostComma: false };
  // "135 %" was printed "13,5 %".
  return { value: value / 10, lostComma: true };
}

/** @param {number} value */
const isWine = (value) => value >= LOWEST && value <= HIGHEST;
/** @param {number} value */
const isUsual = (value) => value >= USUAL_LOWEST && value <= USUAL_HIGHEST;

/**
 * Tell whether a market's law allows an alcohol to be printed so: in the EU whole and half percents only.
 * @param {number} value
 * @param {string | null} market
 */
export function isLawfulStep(value, market) {
  return market !== 'EU' || Number.isInteger(Math.round(value * 100) / 50);
}

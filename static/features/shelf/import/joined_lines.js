// Joins lines that have only figures to the bottle above them: a shop's page, once copied, has each on its own line.
import { PRICE, UNIT_PRICES, withoutUnitPrices } from '../../../rules/label_text/amounts.js';
import { EACH, withoutServings } from '../../../rules/label_text/servings.js';
import { ALCOHOL_WORDS } from './alcohol_words.js';

const SIZE = /(?<![\p{L}\d.,])\d{1,4}(?:[.,]\d{1,3})?\s?[cm]?l(?![\p{L}\d])/giu;
const ALCOHOL = /(?<![\d.,])\d{1,2}(?:[.,]\d)?\s?%/g;

/**
 * @param {string[]} lines
 * @returns {{ line: number, text: string }[]} `line`: number of the first one, from 1
 */
export function joinFigures(lines) {
  /** @type {{ line: number, text: string }[]} */
  const joined = [];
  const written = lines.flatMap((text, at) => (text.trim() ? [{ line: at + 1, text }] : []));
  // Where the figures come first, they are of the bottle below them.
  if (!written[0] || isFigures(written[0].text)) return written;
  for (const { line, text } of written) {
    const above = joined.at(-1);
    if (above && isFigures(text) && !hasSame(above.text, text)) above.text = joinedText(above.text, text);
    else joined.push({ line, text });
  }
  return joined;
}

/**
 * @param {string} text
 * @returns {boolean} whether it has an alcohol, a price or a size, and no words but "glass", "bottle" or "each"
 */
function isFigures(text) {
  const isPriced = text.search(PRICE) >= 0;
  const bare = isPriced ? withoutServings(text.replace(EACH, ' ')) : text;
  const rest = [UNIT_PRICES, SIZE, PRICE, ALCOHOL].reduce((left, form) => left.replace(form, ' '), bare);
  return (isPriced || rest !== text) && !/[\p{L}\p{N}]/u.test(rest.replace(ALCOHOL_WORDS, ' '));
}

/** Leave out the price of a litre below that of the bottle. @param {string} above @param {string} text */
function joinedText(above, text) {
  const isPriced = withoutUnitPrices(above).search(PRICE) >= 0;
  return `${above} ${(isPriced ? withoutUnitPrices(text) : text).trim()}`;
}

/**
 * @param {string} above @param {string} text
 * @returns {boolean} whether both have an alcohol, or both a price that is not said to be of a glass or a bottle
 */
function hasSame(above, text) {
  if (withoutServings(text) !== text) return false;
  const bare = [above, text].map(withoutUnitPrices);
  return [ALCOHOL, PRICE].some((form) => bare.every((each) => each.search(form) >= 0));
}

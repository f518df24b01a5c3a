// Chooses between two readings of the prices of a list.

/** @typedef {{ text: string, at: number }} ReadLine */

const CLEAN = /^(?:[€£$]\s?)?\d{1,4}(?:[.,]\d{2})?(?:\s?[€£$])?$/u;
const CENTS = /[.,]\d{2}(?!\d)/;
/** A line with more letters says something else. */
const MOST_LETTERS = 3;

/** Tell whether a line of a list is a price, perhaps misread. @param {{ text: string }} line */
export function isPrice({ text }) {
  return /[\d#]/.test(text) && (text.match(/\p{L}/gu) ?? []).length <= MOST_LETTERS;
}

/**
 * Replace prices by the other reading where that is more like a price: the comma is what is lost most often.
 * @template {ReadLine} Line
 * @param {Line[]} lines
 * @param {Line[]} again other readings of some of them
 * @returns {Line[]}
 */
export function withBetterPrices(lines, again) {
  return lines.map((line) => {
    const other = again.find(({ at }) => at === line.at);
    return other && likeness(other.text) > likeness(line.text) ? other : line;
  });
}

/** @param {string} text */
function likeness(text) {
  if (!CLEAN.test(text)) return 0;
  return CENTS.test(text) ? 2 : 1;
}

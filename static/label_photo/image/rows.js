// Finds the lines of print that stand beside each other, such as a wine and its price.

/** @typedef {import('./lines.js').PrintLine} PrintLine */

/** Two lines whose middles are nearer than this part of their height stand in one row. */
const SAME_ROW = 0.8;
/** Of its width: lines may overlap by less. */
const OVERLAP = 0.1;

/**
 * @param {PrintLine[]} lines
 * @param {number[]} places of the lines to sort into rows
 * @returns {number[][]} places of the lines of each row, from left to right; rows from top to bottom
 */
export function rowsOf(lines, places) {
  /** @type {number[][]} */
  const rows = [];
  const at = (/** @type {number} */ place) => /** @type {PrintLine} */ (lines[place]);
  for (const place of [...places].sort((a, b) => middle(at(a)) - middle(at(b)))) {
    const row = rows.find(
      (others) =>
        others.some((other) => isLevel(at(other), at(place))) && others.every((other) => isFree(at(other), at(place))),
    );
    if (row) row.push(place);
    else rows.push([place]);
  }
  return rows.map((row) => row.sort((a, b) => at(a).left - at(b).left));
}

/** @param {PrintLine} line */
const middle = ({ base, letter }) => base[0] - letter / 2;

/** @param {PrintLine} one @param {PrintLine} other */
const isLevel = (one, other) => Math.abs(middle(one) - middle(other)) < SAME_ROW * Math.min(one.letter, other.letter);

/** @param {PrintLine} one @param {PrintLine} other */
function isFree(one, other) {
  const shared = Math.min(one.right, other.right) - Math.max(one.left, other.left);
  return shared <= OVERLAP * Math.min(one.right - one.left, other.right - other.left);
}

// In which order the shelf is looked along.

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

// Below "neither like nor dislike" nobody should be sent to learn something.
const MIN_LIKING = 5;
// What is taught is never negative, so that these stand behind all others, the least disliked first.
const FAR_BELOW = 100;
const LAST = -Number.MAX_VALUE;

/** @type {Record<string, (row: ShelfRow) => number | null>} larger comes first; null comes last */
const weights = {
  liking: ({ score }) => score && score.mean,
  surest: ({ score }) => score && score.p_like,
  value: (row) => negative(pricePerLikedBottle(row)),
  teaches: ({ score, teaches }) => score && (score.mean >= MIN_LIKING ? teaches() : score.mean - FAR_BELOW),
  price: ({ pick }) => negative(pick.fields['price'] ?? null),
  seen: ({ pick }) => Date.parse(pick.fields['seen_at'] ?? '') || 0,
};

export const sortKeys = Object.keys(weights);

/**
 * What a liked bottle would cost in the long run: the price over the chance of liking.
 * @param {ShelfRow} row
 * @returns {number | null}
 */
export function pricePerLikedBottle({ pick, score }) {
  const price = pick.fields['price'];
  return typeof price === 'number' && score && score.p_like > 0 ? price / score.p_like : null;
}

/** @param {ShelfRow[]} rows @param {string} order */
export function sorted(rows, order) {
  const weigh = weights[order] ?? weights['liking'];
  const weighed = rows.map((row) => ({ row, weight: /** @type {(row: ShelfRow) => number | null} */ (weigh)(row) }));
  weighed.sort((a, b) => (b.weight ?? LAST) - (a.weight ?? LAST) || newerFirst(a.row, b.row));
  return weighed.map(({ row }) => row);
}

/** @param {ShelfRow} a @param {ShelfRow} b ids are made in the order of time */
function newerFirst(a, b) {
  return a.pick.id < b.pick.id ? 1 : -1;
}

/** @param {number | null} value */
function negative(value) {
  return value === null ? null : -value;
}

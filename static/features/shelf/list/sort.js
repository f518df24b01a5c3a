// Sort orders of the shelf.

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

// A bottle expected below "neither like nor dislike" is not recommended for learning.
const MIN_LIKING = 5;
// The gain is never negative, so bottles below the limit come last.
const FAR_BELOW = 100;
const LAST = -Number.MAX_VALUE;
/** Size of a bottle whose size is not known. */
export const USUAL_ML = 750;

/** @type {Record<string, (row: ShelfRow) => number | null>} descending; null comes last */
const weights = {
  liking: (row) => ownLiking(row) ?? (row.score && row.score.mean),
  surest: ({ score }) => score && score.p_like,
  value: ({ price, score, label }) =>
    negative(pricePerLiked(price && (price * USUAL_ML) / (label['volume_ml'] ?? USUAL_ML), score)),
  teaches: ({ score, informationGain: gain }) => score && (score.mean >= MIN_LIKING ? gain() : score.mean - FAR_BELOW),
  price: ({ price }) => negative(price),
  seen: ({ pick }) => Date.parse(pick.fields['seen_at'] ?? '') || 0,
  company_mean: ({ company }) => company && company.found.mean,
  company_least: ({ company }) => company && company.found.expected_least,
  company_all: ({ company }) => company && company.found.all_like,
};

/** Orders for company, which need the palates of several people. */
export const companyKeys = Object.keys(weights).filter((key) => key.startsWith('company_'));
export const sortKeys = Object.keys(weights).filter((key) => !companyKeys.includes(key));

/**
 * Return the owner's last rating of the bottle, which its row shows instead of the forecast.
 * @param {Pick<ShelfRow, 'counted'>} row
 * @returns {number | null}
 */
export function ownLiking({ counted }) {
  return counted.find((tasting) => tasting.fields['liking'])?.fields['liking'] ?? null;
}

/**
 * Compute the expected price per liked bottle: the price divided by the probability of liking.
 * @param {number | null | undefined} price
 * @param {ShelfRow['score']} score
 * @returns {number | null}
 */
export function pricePerLiked(price, score) {
  return typeof price === 'number' && score && score.p_like > 0 ? price / score.p_like : null;
}

/** @param {ShelfRow[]} rows @param {string} order */
export function sorted(rows, order) {
  const weightOf = weights[order] ?? weights['liking'];
  const weighted = rows.map((row) => ({
    row,
    weight: /** @type {(row: ShelfRow) => number | null} */ (weightOf)(row),
  }));
  weighted.sort((a, b) => (b.weight ?? LAST) - (a.weight ?? LAST) || newerFirst(a.row, b.row));
  return weighted.map(({ row }) => row);
}

/**
 * @param {ShelfRow} a
 * @param {ShelfRow} b ids sort by creation time
 */
function newerFirst(a, b) {
  return a.pick.id < b.pick.id ? 1 : -1;
}

/** @param {number | null} value */
function negative(value) {
  return value === null ? null : -value;
}

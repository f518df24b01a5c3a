// Glasses whose label is hidden: which stand covered, and which of them is next.
import { tastingsOfVisit } from '../../store/queries.js';

/** @typedef {import('../../store/record.js').Row} Row */

/** @param {Row} row */
export function isLabelHidden({ fields }) {
  return fields['label_hidden'] === true && !fields['uncovered_at'];
}

/**
 * The next glass of the same visit that stands covered and was not tasted yet.
 * @param {string | null | undefined} visit
 * @param {string} after
 * @returns {Promise<string | null>}
 */
export async function nextHiddenGlass(visit, after) {
  if (!visit) return null;
  const waiting = (await tastingsOfVisit(visit)).filter(
    (row) => row.id !== after && row.fields['flight_mark'] && !row.fields['closed_at'] && isLabelHidden(row),
  );
  return waiting[0]?.id ?? null;
}

/**
 * A bottle keeps its cover as long as another glass of it is covered.
 * @param {Row[]} others tastings of the same bottle
 */
export function hasHiddenGlass(others) {
  return others.some(isLabelHidden);
}

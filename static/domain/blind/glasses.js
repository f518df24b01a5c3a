// Glasses with a hidden label: which are hidden, and which is next.
import { tastingsOfVisit } from '../../store/queries.js';

/** @typedef {import('../../store/record.js').Row} Row */

/** @param {Row} row */
export function isLabelHidden({ fields }) {
  return fields['label_hidden'] === true && !fields['uncovered_at'];
}

/**
 * Return the next glass of the visit that is still hidden and not tasted yet.
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
 * Tell whether another glass of the bottle is hidden, so that the bottle must stay hidden.
 * @param {Row[]} others tastings of the same bottle
 */
export function hasHiddenGlass(others) {
  return others.some(isLabelHidden);
}

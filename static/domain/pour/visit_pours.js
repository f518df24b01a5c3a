// What was poured in a visit, or in the hours of a sitting without one.
import { bottlesByIds, latestTastings, tastingsOfVisit } from '../../store/queries.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ rows: Row[], bottles: Map<string, Row> }} VisitPours */

const SESSION_MS = 12 * 3_600_000;
const LOOKED_BACK = 60;

/** @param {string | undefined} visit @returns {Promise<VisitPours>} in the order of tasting */
export async function poursOf(visit) {
  const rows = visit
    ? await tastingsOfVisit(visit)
    : (await latestTastings(LOOKED_BACK)).filter(isOfThisSession).reverse();
  return { rows, bottles: await bottlesByIds(rows.map((row) => row.fields['bottle'])) };
}

/** @param {Row} row */
function isOfThisSession({ fields }) {
  return !fields['example'] && Date.now() - Date.parse(fields['tasted_at'] ?? '') < SESSION_MS;
}

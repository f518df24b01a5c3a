// The tastings that were deleted lately (`deletedKeptDays`), which can be restored.
import { visitAll } from './whole_table.js';
import { clockMs } from './hlc.js';
import { deletedKeptDays } from './record.js';

/** @typedef {import('./record.js').Row} Row */

const DAY_MS = 86_400_000;

/** @param {Row | undefined} row @returns {string | null} null if it is not deleted, or of the example */
export function deletionClock(row) {
  return row?.gone === 1 && !row.fields['example'] ? row.deleted_clock : null;
}

/** @param {string} clock of a deletion @param {number} [sinceMs] */
export function isRecentDeletion(clock, sinceMs = Date.now() - deletedKeptDays * DAY_MS) {
  return clockMs(clock) > sinceMs;
}

/**
 * @param {number} [sinceMs]
 * @returns {Promise<Row[]>} last deleted first, without the example's
 */
export async function deletedTastings(sinceMs) {
  /** @type {[string, Row][]} */
  const found = [];
  await visitAll('tasting', (row) => {
    const clock = deletionClock(row);
    if (clock && isRecentDeletion(clock, sinceMs)) found.push([clock, row]);
  });
  return found.sort(([one], [other]) => (one < other ? 1 : -1)).map(([, row]) => row);
}

// The deleted tastings, for the screen that restores them.
import { db, withReconnect } from './database.js';
import { clockMs } from './hlc.js';

/** @typedef {import('./record.js').Row} Row */

/**
 * @param {number} sinceMs
 * @returns {Promise<Row[]>} tastings deleted since then, last deleted first, without the example's
 */
export async function deletedTastings(sinceMs) {
  const rows = await withReconnect(() => db.tasting.filter((row) => row.gone === 1).toArray());
  return rows
    .filter((row) => row.deleted_clock && clockMs(row.deleted_clock) > sinceMs && !row.fields['example'])
    .sort((one, other) => (String(one.deleted_clock) < String(other.deleted_clock) ? 1 : -1));
}

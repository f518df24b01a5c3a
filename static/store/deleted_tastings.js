// The deleted tastings, for the screen that restores them.
import { visitAll } from './whole_table.js';
import { clockMs } from './hlc.js';

/** @typedef {import('./record.js').Row} Row */

/**
 * @param {number} sinceMs
 * @returns {Promise<Row[]>} tastings deleted since then, last deleted first, without the example's
 */
export async function deletedTastings(sinceMs) {
  /** @type {Row[]} */
  const rows = [];
  await visitAll('tasting', (row) => {
    if (row.gone === 1) rows.push(row);
  });
  return rows
    .filter((row) => row.deleted_clock && clockMs(row.deleted_clock) > sinceMs && !row.fields['example'])
    .sort((one, other) => (String(one.deleted_clock) < String(other.deleted_clock) ? 1 : -1));
}

// The tastings that were deleted lately (`deletedKeptDays`), which can be restored.
import { db, withReconnect } from './database.js';
import { visitAll } from './whole_table.js';
import { clockMs } from './hlc.js';
import { deletedKeptDays, isEmptied } from './record.js';

/** @typedef {import('./record.js').Row} Row */

const DAY_MS = 86_400_000;

/** @param {Row | undefined} row @returns {string | null} null if it is there, of the example, or empty */
export function deletionClock(row) {
  return row?.gone === 1 && !row.fields['example'] && !isEmptied(row) ? row.deleted_clock : null;
}

/** @returns {Promise<(clock: string) => boolean>} whether a deletion is recent by the server's time, as its clock is */
export async function recentDeletion() {
  const state = await withReconnect(() => db.meta.get('clock'));
  const sinceMs = Date.now() + (state?.offset_ms ?? 0) - deletedKeptDays * DAY_MS;
  return (clock) => clockMs(clock) > sinceMs;
}

/** @param {string} id of a tasting @returns {Promise<Row | null>} null unless another device has deleted it */
export async function deletedElsewhere(id) {
  const [row, state] = await withReconnect(() => Promise.all([db.tasting.get(id), db.meta.get('clock')]));
  return row && state && deletionClock(row)?.endsWith(`-${state.device}`) === false ? row : null;
}

/** @returns {Promise<Row[]>} last deleted first, without the example's */
export async function deletedTastings() {
  /** @type {[string, Row][]} */
  const found = [];
  const isRecent = await recentDeletion();
  await visitAll('tasting', (row) => {
    const clock = deletionClock(row);
    if (clock && isRecent(clock)) found.push([clock, row]);
  });
  return found.sort(([one], [other]) => (one < other ? 1 : -1)).map(([, row]) => row);
}

/**
 * When the wine was swallowed whose finish is being timed: kept on this phone only, so that a locked screen or a
 * dead phone does not stop the count.
 *
 * @typedef {{ tasting: string, started_ms: number }} Running
 */
import { signal } from '../vendor/signals-core.js';
import { db, withReconnect, transaction } from './database.js';

/** @type {import('../vendor/signals-core.js').Signal<Running | null>} */
export const runningFinish = signal(null);

/** Reads what was running when the app last stopped. */
export async function restoreFinishTimer() {
  runningFinish.value = (await withReconnect(() => db.meta.get('finish')))?.running ?? null;
}

/** @param {string} tasting @param {number} started_ms milliseconds since 1970 */
export async function startFinish(tasting, started_ms) {
  runningFinish.value = { tasting, started_ms };
  await transaction('rw', ['meta'], (tx) => tx.meta.put({ name: 'finish', running: { tasting, started_ms } }));
}

export async function stopFinish() {
  runningFinish.value = null;
  await transaction('rw', ['meta'], (tx) => tx.meta.delete('finish'));
}

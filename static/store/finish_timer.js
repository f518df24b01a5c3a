/**
 * Start time of the running finish timer, stored on this phone only, so that the timer survives a
 * restart.
 *
 * @typedef {{ tasting: string, started_ms: number }} Running
 */
import { signal } from '../vendor/signals-core.js';
import { db, withReconnect, transaction } from './database.js';

/** @type {import('../vendor/signals-core.js').Signal<Running | null>} */
export const runningFinish = signal(null);

/** Restore the timer after a restart. */
export async function restoreFinishTimer() {
  runningFinish.value = (await withReconnect(() => db.meta.get('finish')))?.running ?? null;
}

/**
 * @param {string} tasting
 * @param {number} started_ms milliseconds since 1970
 */
export async function startFinish(tasting, started_ms) {
  runningFinish.value = { tasting, started_ms };
  await transaction('rw', ['meta'], (tx) => tx.meta.put({ name: 'finish', running: { tasting, started_ms } }));
}

export async function stopFinish() {
  runningFinish.value = null;
  await transaction('rw', ['meta'], (tx) => tx.meta.delete('finish'));
}

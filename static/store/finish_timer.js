/**
 * When the wine was swallowed whose finish is being timed: kept on this phone only, so that a locked screen or a dead phone does not stop the count.
 *
 * @typedef {{ tasting: string, started_ms: number }} Running
 */
import { signal } from '../vendor/signals-core.js';
import { db, steady, within } from './database.js';

/** @type {import('../vendor/signals-core.js').Signal<Running | null>} */
export const finishRunning = signal(null);

/** Reads what was running when the app last stopped. */
export async function askAboutFinish() {
  finishRunning.value = (await steady(() => db.meta.get('finish')))?.running ?? null;
}

/** @param {string} tasting @param {number} started_ms milliseconds since 1970 */
export async function startFinish(tasting, started_ms) {
  finishRunning.value = { tasting, started_ms };
  await within('rw', ['meta'], (book) => book.meta.put({ name: 'finish', running: { tasting, started_ms } }));
}

export async function stopFinish() {
  finishRunning.value = null;
  await within('rw', ['meta'], (book) => book.meta.delete('finish'));
}

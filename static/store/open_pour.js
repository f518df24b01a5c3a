/**
 * The unfinished pour and its step, stored on this phone only, so that a restart opens the same
 * page.
 *
 * @typedef {{ tasting: string, step: string }} OpenPour
 */
import { signal } from '../vendor/signals-core.js';
import { db, withReconnect, transaction } from './database.js';

/** @type {import('../vendor/signals-core.js').Signal<OpenPour | null>} */
export const openPour = signal(null);

/** Restore the pointer after a restart. */
export async function restoreOpenPour() {
  openPour.value = (await withReconnect(() => db.meta.get('open_pour')))?.open ?? null;
}

/** @param {string} tasting @param {string} step */
export async function setOpenPour(tasting, step) {
  openPour.value = { tasting, step };
  await transaction('rw', ['meta'], (tx) => tx.meta.put({ name: 'open_pour', open: { tasting, step } }));
}

export async function clearOpenPour() {
  openPour.value = null;
  await transaction('rw', ['meta'], (tx) => tx.meta.delete('open_pour'));
}

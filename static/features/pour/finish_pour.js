// Closing a pour and opening the next one.
import { timestamp } from '../../lib/datetime.js';
import { bottle, visit } from '../../store/queries.js';
import { remove } from '../../store/write.js';
import { setDefaults, errors, currentPour, isEmpty, values, setFields } from '../../domain/pour/current_pour.js';
import { isUnreferenced, selectBottle } from '../../domain/bottle/match_bottle.js';
import { closePour, loadPour } from '../../domain/pour/load_pour.js';
import { whenIdle, saveError } from '../../domain/pour/autosave_queue.js';

/** @typedef {{ outcome: 'kept', tasting: string } | { outcome: 'blank' | 'faulty' | 'not_written' }} Kept */

/**
 * Keeps the pour in hand and takes up the next; stays on it where something is missing or wrong.
 * @returns {Promise<Kept>}
 */
export async function finishPour() {
  const pour = currentPour.peek();
  if (!pour || isEmpty.peek()) {
    await discardEmpty();
    return { outcome: 'blank' };
  }
  if (Object.keys(errors.peek()).length) return { outcome: 'faulty' };
  if (!values.tasting.peek()['closed_at']) setFields('tasting', { closed_at: timestamp() });
  await whenIdle();
  if (saveError.peek()) return { outcome: 'not_written' };
  await startNext();
  return { outcome: 'kept', tasting: pour.tasting };
}

/** Leaves the pour as it is, in the book, and takes up a fresh one. */
export async function startNext() {
  await whenIdle();
  await closePour();
  await loadPour(undefined);
}

/**
 * Makes the next pour one of a known bottle; a pour that was begun is left as it is, in the book.
 * @param {string} bottleId
 */
export async function startWithBottle(bottleId) {
  await loadPour(undefined);
  if (!isEmpty.peek()) await startNext();
  const row = await bottle(bottleId);
  if (row && !row.gone) selectBottle(row.id, row.fields);
}

/**
 * Makes the next pour one of a visit that is over; a pour that was begun is left as it is, in the book.
 * @param {string} visitId
 */
export async function startInVisit(visitId) {
  await loadPour(undefined);
  if (!isEmpty.peek()) await startNext();
  const row = await visit(visitId);
  if (row && !row.gone) setDefaults({ visit: row.id, ...(row.fields['place'] ? { place: row.fields['place'] } : {}) });
}

/** Takes a kept pour in hand again. @param {string} tasting */
export async function reopenPour(tasting) {
  await closePour();
  await loadPour(tasting);
  setFields('tasting', { closed_at: null });
}

/** A pour whose every word was taken back leaves nothing behind. */
async function discardEmpty() {
  const pour = currentPour.peek();
  if (!pour?.created) return;
  await whenIdle();
  await remove('tasting', pour.tasting);
  if (await isUnreferenced(pour.bottle, pour.tasting)) await remove('bottle', pour.bottle);
  await startNext();
}

// Finishes a pour and starts the next one.
import { timestamp } from '../../lib/datetime.js';
import { bottle, photosOf, visit } from '../../store/queries.js';
import { commitEdits } from '../../store/write.js';
import { setDefaults, errors, currentPour, isEmpty, values, setFields } from '../../domain/pour/current_pour.js';
import { isUnreferenced, selectBottle } from '../../domain/bottle/match_bottle.js';
import { closePour, loadPour } from '../../domain/pour/load_pour.js';
import { whenIdle, saveError } from '../../domain/pour/autosave_queue.js';

/** @typedef {{ outcome: 'kept', tasting: string } | { outcome: 'blank' | 'faulty' | 'not_written' }} FinishResult */

/**
 * Finish the current pour and load the next one. Stays on the pour if it is empty, invalid or
 * cannot be saved.
 * @returns {Promise<FinishResult>}
 */
export async function finishPour() {
  const pour = currentPour.peek();
  if (!pour || (isEmpty.peek() && !(await hasPhotos(pour)))) {
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

/** @param {import('../../domain/pour/current_pour.js').CurrentPour} pour */
async function hasPhotos({ created, tasting }) {
  return created && (await photosOf({ tasting })).length > 0;
}

/** Leave the current pour as it is and load a new one. */
async function startNext() {
  await whenIdle();
  await closePour();
  await loadPour(undefined);
}

/**
 * Start a pour with a known bottle. An unfinished pour is left as it is.
 * @param {string} bottleId
 */
export async function startWithBottle(bottleId) {
  await loadPour(undefined);
  if (!isEmpty.peek()) await startNext();
  const row = await bottle(bottleId);
  if (row && !row.gone) selectBottle(row.id, row.fields);
}

/**
 * Start a pour in an ended visit. An unfinished pour is left as it is.
 * @param {string} visitId
 */
export async function startInVisit(visitId) {
  await loadPour(undefined);
  if (!isEmpty.peek()) await startNext();
  const row = await visit(visitId);
  if (row && !row.gone) setDefaults({ visit: row.id, ...(row.fields['place'] ? { place: row.fields['place'] } : {}) });
}

/** Reopen a finished pour, unless it was deleted since. @param {string} tasting */
export async function reopenPour(tasting) {
  await closePour();
  if (await loadPour(tasting)) setFields('tasting', { closed_at: null });
}

/** Delete a pour whose values were all cleared, without any value that its restoring could bring back. */
async function discardEmpty() {
  const pour = currentPour.peek();
  if (!pour?.created) return;
  await whenIdle();
  const isFree = await isUnreferenced(pour.bottle, pour.tasting);
  const fields = Object.fromEntries(Object.keys(values.tasting.peek()).map((field) => [field, null]));
  await commitEdits([
    { kind: 'tasting', id: pour.tasting, fields, deleted: true },
    ...(isFree ? [{ kind: /** @type {const} */ ('bottle'), id: pour.bottle, deleted: true }] : []),
  ]);
  await startNext();
}

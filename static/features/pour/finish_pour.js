// Closing a pour and opening the next one.
import { timestamp } from '../../lib/datetime.js';
import { bottle, visit } from '../../store/queries.js';
import { remove } from '../../store/write.js';
import { carry, faults, inHand, isBlank, says, write } from '../../domain/pour/current_pour.js';
import { bottleIsFree, lay } from '../../domain/bottle/match_bottle.js';
import { layAside, takeUp } from '../../domain/pour/load_pour.js';
import { settled, trouble } from '../../domain/pour/autosave_queue.js';

/** @typedef {{ outcome: 'kept', tasting: string } | { outcome: 'blank' | 'faulty' | 'not_written' }} Kept */

/** Keeps the pour in hand and takes up the next; stays on it where something is missing or wrong. @returns {Promise<Kept>} */
export async function keep() {
  const hand = inHand.peek();
  if (!hand || isBlank.peek()) {
    await clearAway();
    return { outcome: 'blank' };
  }
  if (Object.keys(faults.peek()).length) return { outcome: 'faulty' };
  if (!says.tasting.peek()['closed_at']) write('tasting', { closed_at: timestamp() });
  await settled();
  if (trouble.peek()) return { outcome: 'not_written' };
  await next();
  return { outcome: 'kept', tasting: hand.tasting };
}

/** Leaves the pour as it is, in the book, and takes up a fresh one. */
export async function next() {
  await settled();
  await layAside();
  await takeUp(undefined);
}

/** Makes the next pour one of a known bottle; a pour that was begun is left as it is, in the book. @param {string} bottleId */
export async function openWith(bottleId) {
  await takeUp(undefined);
  if (!isBlank.peek()) await next();
  const row = await bottle(bottleId);
  if (row && !row.gone) lay(row.id, row.fields);
}

/** Makes the next pour one of a visit that is over; a pour that was begun is left as it is, in the book. @param {string} visitId */
export async function openInVisit(visitId) {
  await takeUp(undefined);
  if (!isBlank.peek()) await next();
  const row = await visit(visitId);
  if (row && !row.gone) carry({ visit: row.id, ...(row.fields['place'] ? { place: row.fields['place'] } : {}) });
}

/** Takes a kept pour in hand again. @param {string} tasting */
export async function reopen(tasting) {
  await layAside();
  await takeUp(tasting);
  write('tasting', { closed_at: null });
}

/** A pour whose every word was taken back leaves nothing behind. */
async function clearAway() {
  const hand = inHand.peek();
  if (!hand?.begun) return;
  await settled();
  await remove('tasting', hand.tasting);
  if (await bottleIsFree(hand.bottle, hand.tasting)) await remove('bottle', hand.bottle);
  await next();
}

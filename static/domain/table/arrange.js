// Places and letters of the glasses of a tasting that has not started. Pure.
import { glassLetter } from '../blind/shuffle.js';
import { glassOrder } from './glass_order.js';
import { hashedId } from './sheet_id.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ kind: 'glass', id: string, fields: Record<string, any> }} Edit */

/**
 * Number the glasses. Letters follow the order of tasting, so that everybody starts with A if all have the same order.
 * @param {{ order?: string | null, order_seed?: number | null }} head
 * @param {string[]} ids glasses as listed
 * @returns {Edit[]}
 */
export function arranged({ order, order_seed: seed }, ids) {
  const tasted = order === 'drawn' ? glassOrder('drawn', seed ?? 0, ids.length, 1) : ids.map((_, place) => place);
  return ids.map((id, place) => ({
    kind: /** @type {const} */ ('glass'),
    id,
    fields: { position: place + 1, mark: glassLetter(tasted.indexOf(place)) },
  }));
}

/**
 * Choose the wine that is poured twice, and where its second glass stands: not beside the first if there is room.
 * @param {number[]} filled places of the glasses that have a wine
 * @param {number} glasses number of all glasses
 * @param {(below: number) => number} random
 * @returns {{ twice: number, at: number }} `at`: index in the list after the insertion
 */
export function drawDuplicate(filled, glasses, random) {
  const twice = Number(filled[random(filled.length)]);
  const free = Array.from({ length: glasses + 1 }, (_, at) => at).filter((at) => at < twice || at > twice + 1);
  return { twice, at: free.length ? /** @type {number} */ (free[random(free.length)]) : glasses };
}

/**
 * Compute the id of the glass that is added when a wine is poured twice, so that it can be told from the glass that
 * was there before. Guests do not know the id of a covered bottle, so they cannot compute it.
 * @param {string} glass
 * @param {string} bottle
 */
export function secondGlassId(glass, bottle) {
  return hashedId(`twice:${glass}:${bottle}`);
}

/**
 * @param {Row[]} glasses
 * @returns {{ first: Row, second: Row } | null} the glass that was added to pour a wine twice, and the first with it
 */
export function pouredTwice(glasses) {
  for (const second of glasses) {
    const bottle = second.fields['bottle'];
    const first = bottle && glasses.find((glass) => secondGlassId(glass.id, bottle) === second.id);
    if (first && first.fields['bottle'] === bottle) return { first, second };
  }
  return null;
}

/**
 * @param {Row[]} glasses by position
 * @returns {Row[][]} glasses of the same wine, as the leader added them; without the glass that was drawn by lot
 */
export function ownRepeats(glasses) {
  const drawn = pouredTwice(glasses)?.second.id;
  const own = glasses.filter(({ id, fields }) => id !== drawn && fields['bottle']);
  return duplicates(own).flatMap(({ fields: { bottle } }, at, all) => {
    const isFirst = all.findIndex((one) => one.fields['bottle'] === bottle) === at;
    return isFirst ? [own.filter((one) => one.fields['bottle'] === bottle)] : [];
  });
}

/** @param {Row[]} glasses by position @returns {Row[]} those whose bottle an earlier glass has too */
export function duplicates(glasses) {
  const seen = new Set();
  return glasses.filter(({ fields }) => {
    const again = Boolean(fields['bottle']) && seen.has(fields['bottle']);
    seen.add(fields['bottle']);
    return again;
  });
}

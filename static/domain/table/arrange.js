// Places and letters of the glasses of a tasting that has not started. Pure.
import { glassLetter } from '../blind/shuffle.js';
import { glassOrder } from './glass_order.js';

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
 * @param {number} glasses
 * @param {(below: number) => number} random
 * @returns {{ twice: number, at: number }} `at`: index in the list after the insertion
 */
export function drawDuplicate(glasses, random) {
  const twice = random(glasses);
  const free = Array.from({ length: glasses + 1 }, (_, at) => at).filter((at) => at < twice || at > twice + 1);
  return { twice, at: free.length ? /** @type {number} */ (free[random(free.length)]) : glasses };
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

// The order in which a guest tastes the glasses. The server computes the same one for guests' own
// phones (webapp/group_tasting/order.py).
import { seededRandom } from '../../lib/seeded_random.js';
import { servingOrder } from '../../rules/table/williams.js';

/** Glasses of the largest Williams square in use; with more, each guest has an order drawn by lot. */
const MAX_BALANCED = 12;

/**
 * @param {string | null | undefined} order listed; drawn: shuffled once for everybody; balanced: each guest has a row
 *   of a Williams square (Williams 1949)
 * @param {number} seed
 * @param {number} glasses
 * @param {number} guest number of the guest, from 1
 * @returns {number[]} places in the list of glasses, from 0, in the order of tasting
 */
export function glassOrder(order, seed, glasses, guest) {
  if (order === 'drawn') return shuffled(glasses, seed);
  if (order !== 'balanced' || glasses < 1) return Array.from({ length: glasses }, (_, place) => place);
  return glasses > MAX_BALANCED ? shuffled(glasses, seed + guest) : servingOrder(glasses, guest - 1);
}

/** Shuffle by Fisher and Yates, from the end. @param {number} count @param {number} seed */
function shuffled(count, seed) {
  const random = seededRandom(seed);
  const items = Array.from({ length: count }, (_, place) => place);
  for (let last = count - 1; last > 0; last -= 1) {
    const other = Math.floor(random() * (last + 1));
    [items[last], items[other]] = [/** @type {number} */ (items[other]), /** @type {number} */ (items[last])];
  }
  return items;
}

// Serving orders balanced for first-order carry-over (Williams 1949); port of tests/reference/rules/williams.py.
import { RuleError } from '../errors.js';

const MAX_GLASSES = 40;

/**
 * List serving orders of glasses 0 to n - 1: each glass has each place equally often, and follows each other glass
 * equally often. An even number of glasses needs n orders, an odd one 2 n: each order is followed by its reverse.
 * @param {number} glasses 1 to 40
 * @returns {number[][]}
 */
export function williamsOrders(glasses) {
  if (!Number.isInteger(glasses) || glasses < 1) throw new RuleError('too_few', 'glasses');
  if (glasses > MAX_GLASSES) throw new RuleError('too_many', 'glasses');
  // 0, 1, n - 1, 2, n - 2, ...: neighbours differ by each number once, modulo an even n.
  const first = Array.from({ length: glasses }, (_, place) =>
    place % 2 === 1 ? (place + 1) / 2 : (glasses - place / 2) % glasses,
  );
  const square = Array.from({ length: glasses }, (_, shift) => first.map((glass) => (glass + shift) % glasses));
  return glasses % 2 === 0 ? square : square.flatMap((order) => [order, [...order].reverse()]);
}

/**
 * Return the serving order of one guest.
 * @param {number} glasses
 * @param {number} guest 0 for the first guest; after the last order the first comes again
 * @returns {number[]}
 */
export function servingOrder(glasses, guest) {
  const orders = williamsOrders(glasses);
  return orders[guest % orders.length] ?? [];
}

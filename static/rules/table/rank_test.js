// Probability of the agreement of several guests' ranks by chance; port of tests/reference/rules/rank_test.py.
import { seededRandom } from '../../lib/seeded_random.js';
import { friedman, rankRows } from './friedman.js';

/** @typedef {'exact' | 'permutation' | 'chi_square'} Method */

// Most guests for the exact distribution, by the number of glasses; it takes a phone about a second at most.
/** @type {Record<number, number>} */
const MAX_EXACT_GUESTS = { 2: 60, 3: 40, 4: 12, 5: 6, 6: 4, 7: 2 };
// From this many scores on, chi-square is close enough.
const CHI_SQUARE_SCORES = 300;
const PERMUTATIONS = 9999;
const SEED = 1979;

/**
 * Run Friedman's test with a p-value that holds for few guests: over all orders that each guest could have given with
 * the same ties (exact), over a seeded sample of them (permutation), or the approximation (chi_square).
 * @param {readonly (readonly unknown[])[]} scores a row for each guest, a column for each glass
 * @returns {import('./friedman.js').Friedman & { method: Method }}
 */
export function rankTest(scores) {
  const found = friedman(scores);
  const rows = rankRows(scores).map((row) => row.map((rank) => 2 * rank));
  const method = methodFor(rows.length, found.rank_sums.length);
  if (method === 'chi_square') return { ...found, method };
  const observed = squaresOf(found.rank_sums.map((sum) => 2 * sum));
  return { ...found, p: method === 'exact' ? exactP(rows, observed) : permutationP(rows, observed), method };
}

/** @param {number} guests @param {number} glasses @returns {Method} */
function methodFor(guests, glasses) {
  if (guests <= (MAX_EXACT_GUESTS[glasses] ?? 0)) return 'exact';
  return guests * glasses >= CHI_SQUARE_SCORES ? 'chi_square' : 'permutation';
}

/**
 * Add one guest after another to the distribution of the rank sums. The statistic does not depend on the order of
 * the glasses, so that sums are kept sorted.
 * @param {number[][]} rows doubled ranks, which are whole numbers
 * @param {number} observed sum of squares of the doubled rank sums
 */
function exactP(rows, observed) {
  const [first = [], ...others] = rows;
  const last = others.pop() ?? [];
  let states = new Map([[0, { sums: [...first].sort(ascending), share: 1 }]]);
  const base = 2 * rows.length * first.length + 1;
  for (const row of others) {
    const orders = distinctOrders(row);
    const next = new Map();
    for (const { sums, share } of states.values()) {
      for (const order of orders) {
        const added = sums.map((sum, column) => sum + Number(order[column])).sort(ascending);
        const key = added.reduce((total, sum) => total * base + sum, 0);
        const known = next.get(key);
        if (known) known.share += share / orders.length;
        else next.set(key, { sums: added, share: share / orders.length });
      }
    }
    states = next;
  }
  return shareAtLeast(states.values(), distinctOrders(last), observed);
}

/**
 * @param {Iterable<{ sums: number[], share: number }>} states
 * @param {number[][]} orders of the last guest
 * @param {number} observed
 */
function shareAtLeast(states, orders, observed) {
  let total = 0;
  for (const { sums, share } of states) {
    let reached = 0;
    for (const order of orders) {
      let squares = 0;
      for (let column = 0; column < sums.length; column += 1) {
        squares += (Number(sums[column]) + Number(order[column])) ** 2;
      }
      if (squares >= observed) reached += 1;
    }
    total += (share * reached) / orders.length;
  }
  return Math.min(1, total);
}

/**
 * List the distinct orders of values with ties.
 * @param {readonly number[]} values
 * @returns {number[][]}
 */
function distinctOrders(values) {
  if (values.length === 0) return [[]];
  return [...new Set(values)].flatMap((value) => {
    const at = values.indexOf(value);
    return distinctOrders(values.filter((_, place) => place !== at)).map((rest) => [value, ...rest]);
  });
}

/**
 * Count the observed order among the sampled ones, so that p is never 0 (Davison and Hinkley 1997, section 4.3).
 * @param {number[][]} rows doubled ranks
 * @param {number} observed sum of squares of the doubled rank sums
 */
function permutationP(rows, observed) {
  const random = seededRandom(SEED);
  const glasses = Number(rows[0]?.length);
  const sums = new Float64Array(glasses);
  const row = new Float64Array(glasses);
  let reached = 1;
  for (let round = 0; round < PERMUTATIONS; round += 1) {
    sums.fill(0);
    for (const ranks of rows) {
      row.set(ranks);
      for (let last = glasses - 1; last > 0; last -= 1) {
        const other = Math.floor(random() * (last + 1));
        const held = Number(row[last]);
        row[last] = Number(row[other]);
        row[other] = held;
      }
      for (let column = 0; column < glasses; column += 1) sums[column] = Number(sums[column]) + Number(row[column]);
    }
    if (squaresOf(sums) >= observed) reached += 1;
  }
  return reached / (PERMUTATIONS + 1);
}

/** @param {Iterable<number>} sums */
function squaresOf(sums) {
  let total = 0;
  for (const sum of sums) total += sum ** 2;
  return total;
}

/** @param {number} a @param {number} b */
function ascending(a, b) {
  return a - b;
}

import { chiSquaredTail } from './chi_squared.js';
import { TradeError } from '../errors.js';
import { required, requiredInRange } from './numbers.js';

const MOST_PAGE_WINES = 7;

/**
 * @typedef {{ rank_sums: number[], f: number, df: number, p: number, kendall_w: number, least_difference: number }}
 *   Friedman
 */

/**
 * Rank each taster's scores (rows) of the wines (columns), lowest first, and test them; see webapp/trade/ranking.py.
 * @param {unknown[][]} scores
 * @returns {Friedman}
 */
export function friedman(scores) {
  const wines = scores[0]?.length ?? 0;
  if (scores.some((row) => row.length !== wines)) throw new TradeError('unequal_lengths', 'scores');
  if (scores.length < 2) throw new TradeError('too_few', 'scores');
  const ranks = scores.map((row) => ranksOf(row.map((value) => required(value, 'scores'))));
  const sums = Array.from({ length: wines }, (_, wine) => ranks.reduce((sum, row) => sum + Number(row[wine]), 0));
  return friedmanOfSums(
    sums,
    scores.length,
    ranks.reduce((sum, row) => sum + tieTerm(row), 0),
  );
}

/**
 * Friedman's test and Kendall's W from rank sums; `ties` is the sum of t^3 - t over groups of t equal ranks.
 * @param {unknown[]} rankSums
 * @param {unknown} tasters
 * @param {number} [ties]
 * @returns {Friedman}
 */
export function friedmanOfSums(rankSums, tasters, ties = 0) {
  const sums = rankSums.map((value) => required(value, 'rank_sums'));
  const j = requiredInRange(tasters, 'tasters', 2, 1e6);
  const p = sums.length;
  if (p < 2) throw new TradeError('too_few', 'rank_sums');
  const kept = 1 - ties / (j * p * (p ** 2 - 1));
  if (kept <= 0) throw new TradeError('all_tied', 'scores');
  const plain = (12 / (j * p * (p + 1))) * sums.reduce((sum, each) => sum + each ** 2, 0) - 3 * j * (p + 1);
  const f = plain / kept;
  return {
    rank_sums: sums,
    f,
    df: p - 1,
    p: chiSquaredTail(f, p - 1),
    kendall_w: f / (j * (p - 1)),
    least_difference: 1.96 * Math.sqrt((j * p * (p + 1)) / 6),
  };
}

/**
 * Page's L for an order expected beforehand, with its normal approximation.
 * @param {unknown[]} rankSums
 * @param {unknown} tasters
 */
export function pageTrend(rankSums, tasters) {
  const sums = rankSums.map((value) => required(value, 'rank_sums'));
  const n = requiredInRange(tasters, 'tasters', 1, 1e6);
  const k = sums.length;
  if (k < 2) throw new TradeError('too_few', 'rank_sums');
  const trend = sums.reduce((sum, each, index) => sum + (index + 1) * each, 0);
  const mean = (n * k * (k + 1) ** 2) / 4;
  const variance = (n * k ** 2 * (k + 1) ** 2 * (k - 1)) / 144;
  return { l: trend, mean, variance, z: (trend - mean) / Math.sqrt(variance) };
}

/**
 * The least L that chance reaches no oftener than `alpha`, enumerated (3 to 7 wines).
 * @param {number} wines
 * @param {number} tasters
 * @param {number} alpha
 * @returns {number | null}
 */
export function pageCritical(wines, tasters, alpha) {
  if (!(wines >= 3 && wines <= MOST_PAGE_WINES && tasters >= 2 && tasters <= 200))
    throw new TradeError('too_many', 'wines');
  const one = oneTaster(wines);
  let law = [1];
  for (let taster = 0; taster < tasters; taster += 1) law = convolved(law, one);
  let tail = 0;
  let critical = null;
  for (let at = law.length - 1; at >= 0; at -= 1) {
    tail += law[at] ?? 0;
    // A hair of rounding must not move an exact boundary.
    if (tail > alpha * (1 + 1e-9)) break;
    critical = tasters * leastTrend(wines) + at;
  }
  return critical;
}

/**
 * Ranks from 1, shared between equal values.
 * @param {number[]} values
 */
function ranksOf(values) {
  return values.map((value) => {
    const below = values.filter((each) => each < value).length;
    const equal = values.filter((each) => each === value).length;
    return below + (equal + 1) / 2;
  });
}

/** @param {number[]} ranks */
function tieTerm(ranks) {
  return [...new Set(ranks)].reduce((sum, rank) => {
    const equal = ranks.filter((each) => each === rank).length;
    return sum + equal ** 3 - equal;
  }, 0);
}

/** @param {number} wines */
function leastTrend(wines) {
  return Array.from({ length: wines }, (_, index) => (index + 1) * (wines - index)).reduce(
    (sum, each) => sum + each,
    0,
  );
}

/**
 * Chances of one taster's L from its least value upwards, all orders equally likely.
 * @param {number} wines
 */
function oneTaster(wines) {
  /** @type {number[]} */
  const counts = [];
  let orders = 0;
  const place = (/** @type {number[]} */ left, /** @type {number} */ at, /** @type {number} */ trend) => {
    if (left.length === 0) {
      const above = trend - leastTrend(wines);
      counts[above] = (counts[above] ?? 0) + 1;
      orders += 1;
    }
    for (const rank of left)
      place(
        left.filter((each) => each !== rank),
        at + 1,
        trend + at * rank,
      );
  };
  place(
    Array.from({ length: wines }, (_, index) => index + 1),
    1,
    0,
  );
  return Array.from(counts, (count) => (count ?? 0) / orders);
}

/**
 * @param {number[]} law
 * @param {number[]} one
 */
function convolved(law, one) {
  const sum = new Array(law.length + one.length - 1).fill(0);
  law.forEach((p, i) =>
    one.forEach((q, j) => {
      sum[i + j] += p * q;
    }),
  );
  return sum;
}

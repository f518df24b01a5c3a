// Orders the glasses of a led tasting by liking and tests the order.
import { midranks } from '../stats/ranks.js';
import { quartiles } from '../stats/quartiles.js';
import { pairsToldApart } from './friedman.js';
import { rankTest } from './rank_test.js';
import { completeBlock, valuesOf } from './sheet_grid.js';

/** @typedef {import('./sheet_grid.js').SheetGrid} SheetGrid */
/** @typedef {import('./sheet_grid.js').Block} Block */
/** @typedef {import('./table_summary.js').Ranking} Ranking */

// With fewer, even full agreement is no rarer by chance than 1 in 20.
const MIN_GUESTS = 3;
const MIN_GLASSES = 3;
const SIGNIFICANT = 0.05;
const HINT = 0.2;

/**
 * @param {SheetGrid} grid
 * @returns {Ranking}
 */
export function likingRanking(grid) {
  const block = completeBlock(grid, 'liking');
  const { glasses, used, left_out } = block;
  const status = statusOf(block);
  const order = orderOf(grid, block);
  const found = { status, glasses, used, left_out, order };
  if (status !== 'tested') {
    const none = { f: null, w: null, p: null, method: null, reading: null, least_difference: null };
    return { ...found, ...none, told_apart: [] };
  }
  const { f, kendall_w: w, p, method, rank_sums, least_difference } = rankTest(block.rows);
  const reading = p <= SIGNIFICANT ? 'agreed' : p <= HINT ? 'hint' : 'not_shown';
  const pairs = reading === 'agreed' ? pairsToldApart(rank_sums, least_difference) : [];
  const told_apart = pairs
    .map((pair) => ({ ...pair, better: String(glasses[pair.better]), worse: String(glasses[pair.worse]) }))
    .filter(({ better, worse }) => isAbove(order, better, worse) && !isSameWine(grid, better, worse));
  return { ...found, f, w, p, method, reading, least_difference, told_apart };
}

/** @param {Block} block @returns {Ranking['status']} */
function statusOf({ glasses, used, rows }) {
  if (used.length < MIN_GUESTS) return 'too_few_guests';
  if (glasses.length < MIN_GLASSES) return 'too_few_glasses';
  return rows.every((row) => new Set(row).size === 1) ? 'all_tied' : 'tested';
}

/**
 * @param {SheetGrid} grid
 * @param {Block} block
 * @returns {Ranking['order']}
 */
function orderOf(grid, { glasses, rows }) {
  const ranks = rows.map(midranks);
  const order = grid.table.glasses.flatMap(({ id }) => {
    const { median } = quartiles(valuesOf(grid, id, 'liking').map(({ value }) => value));
    if (median === null) return [];
    const column = glasses.indexOf(id);
    const isRanked = column >= 0 && ranks.length > 0;
    const rank_sum = isRanked ? ranks.reduce((sum, row) => sum + Number(row[column]), 0) : null;
    return [{ glass: id, rank_sum, mean_rank: rank_sum === null ? null : rank_sum / ranks.length, median }];
  });
  // By the figure that people see, so that the order never contradicts it.
  const isUnranked = (/** @type {typeof order[number]} */ { rank_sum }) => Number(rank_sum === null);
  return order.sort(
    (a, b) => isUnranked(a) - isUnranked(b) || b.median - a.median || (b.rank_sum ?? 0) - (a.rank_sum ?? 0),
  );
}

/**
 * Tell whether a glass is above another one in the order, where the medians of all guests may contradict the rank
 * sums of those with complete answers.
 * @param {Ranking['order']} order
 * @param {string} better
 * @param {string} worse
 */
function isAbove(order, better, worse) {
  const placeOf = (/** @type {string} */ id) => order.findIndex(({ glass }) => glass === id);
  return placeOf(better) < placeOf(worse);
}

/**
 * @param {SheetGrid} grid
 * @param {string} one
 * @param {string} other
 */
function isSameWine({ table }, one, other) {
  const sameAs = (/** @type {string} */ id) => table.glasses.find((glass) => glass.id === id)?.sameAs ?? null;
  return sameAs(one) === other || sameAs(other) === one;
}

// Friedman's test of several guests' scores of the same glasses; port of tests/reference/rules/ranking.py.
import { RuleError } from '../errors.js';
import { chiSquareTail } from '../stats/chi_square.js';
import { required, requiredInRange } from '../stats/numbers.js';
import { midranks, tieTerm } from '../stats/ranks.js';

/**
 * @typedef {{ rank_sums: number[], f: number, df: number, p: number, kendall_w: number, least_difference: number }}
 *   Friedman p by the chi-square approximation; W from 0 to 1; rank sums further apart than `least_difference` differ
 *   at 5 %
 */

const TWO_SIDED_5_PERCENT = 1.96;

/**
 * Rank each guest's scores, lowest first.
 * @param {readonly (readonly unknown[])[]} scores a row for each guest, a column for each glass
 * @returns {number[][]}
 */
export function rankRows(scores) {
  if (new Set(scores.map((row) => row.length)).size > 1) throw new RuleError('unequal_lengths', 'scores');
  if (scores.length < 2) throw new RuleError('too_few', 'scores');
  return scores.map((row) => midranks(row.map((value) => required(value, 'scores'))));
}

/**
 * @param {readonly (readonly unknown[])[]} scores a row for each guest, a column for each glass
 * @returns {Friedman}
 */
export function friedman(scores) {
  const ranks = rankRows(scores);
  const ties = ranks.reduce((total, row) => total + tieTerm(row), 0);
  return friedmanOfSums(sumColumns(ranks), ranks.length, ties);
}

/**
 * Compute F = 12 / (J P (P + 1)) sum R^2 - 3 J (P + 1), divided by 1 - E / (J P (P^2 - 1)), and W = F / (J (P - 1)).
 * @param {readonly unknown[]} rankSums R for each of P glasses
 * @param {unknown} tasters J
 * @param {number} [ties] E, the sum of t^3 - t over every group of t equal ranks
 * @returns {Friedman}
 */
export function friedmanOfSums(rankSums, tasters, ties = 0) {
  const sums = rankSums.map((value) => required(value, 'rank_sums'));
  const j = requiredInRange(tasters, 'tasters', 2, 1e6);
  const p = sums.length;
  if (p < 2) throw new RuleError('too_few', 'rank_sums');
  const kept = 1 - ties / (j * p * (p ** 2 - 1));
  if (kept <= 0) throw new RuleError('all_tied', 'scores');
  const squares = sums.reduce((total, value) => total + value ** 2, 0);
  const f = ((12 / (j * p * (p + 1))) * squares - 3 * j * (p + 1)) / kept;
  return {
    rank_sums: sums,
    f,
    df: p - 1,
    p: chiSquareTail(f, p - 1),
    kendall_w: f / (j * (p - 1)),
    least_difference: TWO_SIDED_5_PERCENT * Math.sqrt((j * p * (p + 1)) / 6),
  };
}

/**
 * List the pairs of glasses whose rank sums are further apart than the least significant difference (ISO 8587),
 * largest difference first. Call it only after a significant overall test, which protects against false pairs.
 * @param {readonly number[]} rankSums
 * @param {number} leastDifference
 * @returns {{ better: number, worse: number, difference: number }[]} columns of the glasses
 */
export function pairsToldApart(rankSums, leastDifference) {
  const pairs = [];
  for (const [better, high] of rankSums.entries()) {
    for (const [worse, low] of rankSums.entries()) {
      if (high - low > leastDifference) pairs.push({ better, worse, difference: high - low });
    }
  }
  return pairs.sort((a, b) => b.difference - a.difference || a.better - b.better || a.worse - b.worse);
}

/** @param {readonly (readonly number[])[]} rows */
function sumColumns(rows) {
  const sums = (rows[0] ?? []).map(() => 0);
  for (const row of rows) row.forEach((value, column) => (sums[column] = (sums[column] ?? 0) + value));
  return sums;
}

import { TradeError } from '../errors.js';
import { required } from './numbers.js';

/** @type {Record<string, number>} */
const POWERS = { linear: 1, quadratic: 2 };
// Of the largest squared score; doubles carry about 1e-16 of it.
const ROUNDING = 1e-12;

/**
 * Agreement beyond chance of two series on one scale; see `cohen_kappa` in webapp/trade/agreement.py.
 * @param {unknown[]} first
 * @param {unknown[]} second
 * @param {string} [weights] none, linear or quadratic
 * @returns {{ weights: string, observed: number, expected: number, kappa: number | null }}
 */
export function cohenKappa(first, second, weights = 'none') {
  if (weights !== 'none' && !Object.hasOwn(POWERS, weights)) throw new TradeError('unknown_weights', 'weights');
  if (first.length !== second.length) throw new TradeError('unequal_lengths', 'first');
  if (first.length === 0) throw new TradeError('nothing_to_compare', 'first');
  const rows = first.map((value) => required(value, 'value'));
  const columns = second.map((value) => required(value, 'value'));
  const seen = [...new Set([...rows, ...columns])].sort((a, b) => a - b);
  const credit = (/** @type {number} */ a, /** @type {number} */ b) =>
    creditOf(seen.indexOf(a), seen.indexOf(b), seen.length, weights);
  const observed = mean(rows.map((row, index) => credit(row, Number(columns[index]))));
  // Every row with every column is what independent answers with the same shares would give.
  const expected = mean(rows.map((row) => mean(columns.map((column) => credit(row, column)))));
  return { weights, observed, expected, kappa: expected === 1 ? null : (observed - expected) / (1 - expected) };
}

/**
 * Intraclass correlations (Shrout and Fleiss 1979) of wines (rows) judged by the same judges (columns); null where the
 * denominator is zero, or zero but for rounding.
 * @param {unknown[][]} scores
 */
export function intraclass(scores) {
  const [n, k] = [scores.length, scores[0]?.length ?? 0];
  if (scores.some((row) => row.length !== k)) throw new TradeError('unequal_lengths', 'scores');
  if (n < 2 || k < 2) throw new TradeError('too_few', 'scores');
  const table = scores.map((row) => row.map((value) => required(value, 'scores')));
  const grand = mean(table.flat());
  const columns = Array.from({ length: k }, (_, judge) => mean(table.map((row) => Number(row[judge]))));
  const between = k * squares(table.map(mean), grand);
  const judges = n * squares(columns, grand);
  const within = table.reduce((sum, row) => sum + squares(row, mean(row)), 0);
  // What is left of sums of squares of scores this large is rounding.
  const nothing = ROUNDING * Math.max(...table.flat().map((score) => score ** 2));
  const clean = (/** @type {number} */ square) => (Math.abs(square) <= nothing ? 0 : square);
  const [bms, wms] = [clean(between / (n - 1)), clean(within / (n * (k - 1)))];
  const [jms, ems] = [clean(judges / (k - 1)), clean((within - judges) / ((n - 1) * (k - 1)))];
  return {
    bms,
    wms,
    jms,
    ems,
    icc11: ratio(bms - wms, [bms, (k - 1) * wms], nothing),
    icc21: ratio(bms - ems, [bms, (k - 1) * ems, (k * jms) / n, (-k * ems) / n], nothing),
    icc31: ratio(bms - ems, [bms, (k - 1) * ems], nothing),
    icc1k: ratio(bms - wms, [bms], nothing),
    icc2k: ratio(bms - ems, [bms, jms / n, -ems / n], nothing),
    icc3k: ratio(bms - ems, [bms], nothing),
  };
}

/**
 * 1 for the same category, less for a farther one; without weights nothing for any other.
 * @param {number} row
 * @param {number} column
 * @param {number} size
 * @param {string} weights
 */
function creditOf(row, column, size, weights) {
  if (weights === 'none' || size === 1) return row === column ? 1 : 0;
  return 1 - (Math.abs(row - column) / (size - 1)) ** (POWERS[weights] ?? 1);
}

/** @param {number[]} values */
function mean(values) {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/**
 * @param {number[]} values
 * @param {number} centre
 */
function squares(values, centre) {
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0);
}

/**
 * Divide by the sum of `lower`; null where it cancels to zero but for rounding.
 * @param {number} upper
 * @param {number[]} lower
 * @param {number} nothing
 */
function ratio(upper, lower, nothing) {
  const total = lower.reduce((sum, value) => sum + value, 0);
  return Math.abs(total) <= nothing ? null : upper / total;
}

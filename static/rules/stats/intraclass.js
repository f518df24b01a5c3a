// Intraclass correlations (Shrout and Fleiss 1979); port of tests/reference/rules/agreement.py.
import { RuleError } from '../errors.js';
import { required } from './numbers.js';

/**
 * @typedef {{ bms: number, wms: number, jms: number, ems: number, icc11: number | null, icc21: number | null,
 *   icc31: number | null, icc1k: number | null, icc2k: number | null, icc3k: number | null }} Correlations mean squares
 *   between wines, within wines, between judges and of error; a correlation is null where it is not defined
 */

// Relative to the largest squared score; the precision of numbers is about 1e-16.
const ROUNDING = 1e-12;

/**
 * @param {readonly (readonly unknown[])[]} scores a row for each wine, a column for each judge
 * @returns {Correlations}
 */
export function intraclass(scores) {
  if (new Set(scores.map((row) => row.length)).size > 1) throw new RuleError('unequal_lengths', 'scores');
  const n = scores.length;
  const k = scores[0]?.length ?? 0;
  if (n < 2 || k < 2) throw new RuleError('too_few', 'scores');
  const table = scores.map((row) => row.map((value) => required(value, 'scores')));
  const all = table.flat();
  // Mean squares and denominators below this are rounding errors.
  const nothing = ROUNDING * Math.max(...all.map((value) => value ** 2));
  const squares = sumsOfSquares(table, mean(all));
  const [bms, wms, jms, ems] = [
    squares.between / (n - 1),
    squares.within / (n * (k - 1)),
    squares.judges / (k - 1),
    (squares.within - squares.judges) / ((n - 1) * (k - 1)),
  ].map((square) => (Math.abs(square) <= nothing ? 0 : square));
  return correlations({ bms: Number(bms), wms: Number(wms), jms: Number(jms), ems: Number(ems) }, n, k, nothing);
}

/**
 * @param {number[][]} table
 * @param {number} grand mean of all scores
 */
function sumsOfSquares(table, grand) {
  const k = Number(table[0]?.length);
  const means = table.map(mean);
  const judges = Array.from({ length: k }, (_, judge) => mean(table.map((row) => Number(row[judge]))));
  return {
    between: k * sum(means.map((value) => (value - grand) ** 2)),
    judges: table.length * sum(judges.map((value) => (value - grand) ** 2)),
    within: sum(table.map((row, wine) => sum(row.map((value) => (value - Number(means[wine])) ** 2)))),
  };
}

/**
 * @param {{ bms: number, wms: number, jms: number, ems: number }} squares
 * @param {number} n wines
 * @param {number} k judges
 * @param {number} nothing
 * @returns {Correlations}
 */
function correlations({ bms, wms, jms, ems }, n, k, nothing) {
  // The denominator of ICC(2,k) is negative if the wines differ less than by chance; a ratio of it means nothing.
  const ratio = (/** @type {number} */ upper, /** @type {number} */ lower) => (lower <= nothing ? null : upper / lower);
  return {
    bms,
    wms,
    jms,
    ems,
    icc11: ratio(bms - wms, bms + (k - 1) * wms),
    icc21: ratio(bms - ems, bms + (k - 1) * ems + (k * (jms - ems)) / n),
    icc31: ratio(bms - ems, bms + (k - 1) * ems),
    icc1k: ratio(bms - wms, bms),
    icc2k: ratio(bms - ems, bms + (jms - ems) / n),
    icc3k: ratio(bms - ems, bms),
  };
}

/** @param {readonly number[]} values */
function sum(values) {
  return values.reduce((total, value) => total + value, 0);
}

/** @param {readonly number[]} values */
function mean(values) {
  return sum(values) / values.length;
}

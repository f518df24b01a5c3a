import { RuleError } from '../errors.js';
import { requiredInRange } from './numbers.js';

/** @type {Record<string, number>} */
const CHANCE = { triangle: 1 / 3, duo_trio: 1 / 2, paired: 1 / 2 };
const MAX_TRIALS = 100_000;
const SIGNIFICANT = 0.05;
const HINT = 0.2;

/**
 * Evaluate a triangle, duo_trio or (one-sided) paired test (ISO 4120, ISO 10399, ISO 5495).
 * @param {string} test
 * @param {unknown} correct
 * @param {unknown} trials
 * @returns {{ p: number, reading: 'told_apart' | 'hint' | 'not_shown' | 'nothing_tried', needed: number | null }}
 */
export function discrimination(test, correct, trials) {
  const chance = Object.hasOwn(CHANCE, test) ? CHANCE[test] : undefined;
  if (chance === undefined) throw new RuleError('unknown_test', 'test');
  return evaluateGuesses(correct, trials, chance);
}

/**
 * Evaluate right answers out of several against guessing.
 * @param {unknown} correct
 * @param {unknown} trials
 * @param {number} chance of a right guess
 * @returns {{ p: number, reading: 'told_apart' | 'hint' | 'not_shown' | 'nothing_tried', needed: number | null }}
 */
export function evaluateGuesses(correct, trials, chance) {
  const p = pValue(correct, trials, chance);
  const reading = p <= SIGNIFICANT ? 'told_apart' : p <= HINT ? 'hint' : 'not_shown';
  return { p, reading: trials ? reading : 'nothing_tried', needed: minCorrect(trials, chance, SIGNIFICANT) };
}

/**
 * Compute the probability of at least `correct` of `trials` by guessing: P(X >= k), X ~ Binomial(n,
 * p0).
 * @param {unknown} correct
 * @param {unknown} trials
 * @param {unknown} chance
 */
export function pValue(correct, trials, chance) {
  const n = requireInteger(trials, 'trials', MAX_TRIALS);
  const k = requireInteger(correct, 'correct', n);
  const p0 = requiredInRange(chance, 'chance', 0.000001, 0.999999);
  if (k === 0) return 1;
  // Terms are largest near the mean, so sum the shorter tail from its largest term.
  if (k <= n * p0) return Math.max(0, 1 - tail(n - k + 1, n, 1 - p0, p0));
  return Math.min(1, tail(k, n, p0, 1 - p0));
}

/**
 * Compute P(X >= k) for X ~ Binomial(n, p) with k above the mean, where terms decrease; `q` is 1 -
 * p.
 * @param {number} k
 * @param {number} n
 * @param {number} p
 * @param {number} q
 */
function tail(k, n, p, q) {
  if (k > n) return 0;
  let first = k * Math.log(p) + (n - k) * Math.log(q);
  for (let i = 1; i <= Math.min(k, n - k); i += 1) first += Math.log((n - i + 1) / i);
  let share = 1;
  let total = 0;
  for (let i = k; i <= n; i += 1) {
    total += share;
    share *= (((n - i) / (i + 1)) * p) / q;
  }
  return Math.exp(first + Math.log(total));
}

/**
 * Return the smallest number of right answers whose probability by guessing is at most `alpha`;
 * null if there is none.
 * @param {unknown} trials
 * @param {unknown} chance
 * @param {unknown} alpha
 * @returns {number | null}
 */
export function minCorrect(trials, chance, alpha) {
  const n = requireInteger(trials, 'trials', MAX_TRIALS);
  const level = requiredInRange(alpha, 'alpha', 0, 1);
  let low = 0;
  let high = n + 1;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (pValue(middle, n, chance) <= level) high = middle;
    else low = middle + 1;
  }
  return low <= n ? low : null;
}

/**
 * @param {unknown} value
 * @param {string} field
 * @param {number} max
 */
function requireInteger(value, field, max) {
  const found = requiredInRange(value, field, 0, max);
  if (!Number.isInteger(found)) throw new RuleError('not_whole', field);
  return found;
}

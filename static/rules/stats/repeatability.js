import { required } from './numbers.js';

const LIMIT = 1.96 * Math.SQRT2;
const MIN_GUESSES = 5;
const SURE = 1.5;

/**
 * Compute the within-person standard deviation, and the 95 % limit, from bottles judged more than once (in scale
 * units); formulas in webapp/palate/use/repeatability.py.
 * @param {unknown[][]} groups
 */
export function repeatability(groups) {
  let squares = 0;
  let freedom = 0;
  let bottles = 0;
  let repeats = 0;
  for (const group of groups) {
    const values = group.map((value) => required(value, 'value'));
    if (values.length < 2) continue;
    squares += squaresAbout(values);
    freedom += values.length - 1;
    bottles += 1;
    repeats += values.length;
  }
  const within = freedom > 0 ? Math.sqrt(squares / freedom) : null;
  return { bottles, repeats, within_sd: within, limit: within === null ? null : LIMIT * within };
}

/**
 * @typedef {{ count: number, bias: number | null, spread: number | null, error: number | null, average_error: number |
 *   null, verdict: 'too_few' | 'beats_average' | 'about_average' | 'behind_average' }} GuessStatistics
 */

/**
 * Compute bias, spread and error of guesses in one unit, compared with always guessing the mean of
 * the true values.
 * @param {{ guess?: unknown, truth?: unknown }[]} guesses
 * @returns {GuessStatistics}
 */
export function guessSheet(guesses) {
  const pairs = guesses.map((each) => ({ guess: required(each.guess, 'guess'), truth: required(each.truth, 'truth') }));
  const n = pairs.length;
  /** @type {GuessStatistics} */
  const blank = { count: n, bias: null, spread: null, error: null, average_error: null, verdict: 'too_few' };
  if (n === 0) return blank;
  const errors = pairs.map(({ guess, truth }) => guess - truth);
  if (n === 1) return { ...blank, bias: sum(errors), error: Math.abs(sum(errors)) };
  const average = sum(pairs.map(({ truth }) => truth)) / n;
  const baselineErrors = pairs.map(({ truth }) => Math.abs(average - truth));
  const gains = baselineErrors.map((other, index) => other - Math.abs(errors[index] ?? 0));
  return {
    count: n,
    bias: sum(errors) / n,
    spread: deviation(errors),
    error: sum(errors.map(Math.abs)) / n,
    average_error: sum(baselineErrors) / n,
    verdict: verdictOf(gains),
  };
}

/** @param {number[]} gains */
function verdictOf(gains) {
  if (gains.length < MIN_GUESSES) return 'too_few';
  const gain = sum(gains) / gains.length;
  const margin = (SURE * deviation(gains)) / Math.sqrt(gains.length);
  if (gain > margin) return 'beats_average';
  return gain < -margin ? 'behind_average' : 'about_average';
}

/** @param {number[]} values */
function sum(values) {
  return values.reduce((total, value) => total + value, 0);
}

/** @param {number[]} values */
function squaresAbout(values) {
  const mean = sum(values) / values.length;
  return sum(values.map((value) => (value - mean) ** 2));
}

/** @param {number[]} values */
function deviation(values) {
  return Math.sqrt(squaresAbout(values) / (values.length - 1));
}

import { normalCdf } from '../palate/score.js';

/**
 * Compute P(X >= x) for X with a chi-square distribution of `freedom` (whole) degrees, by the finite series of
 * Abramowitz and Stegun 26.4.4 and 26.4.5.
 * @param {number} x
 * @param {number} freedom
 */
export function chiSquareTail(x, freedom) {
  if (x <= 0) return 1;
  const isOdd = freedom % 2 === 1;
  const root = Math.sqrt(x);
  const density = Math.exp(-x / 2);
  let term = isOdd ? density * root * Math.sqrt(2 / Math.PI) : density;
  let total = isOdd ? 2 * normalCdf(-root) : 0;
  for (let r = isOdd ? 3 : 2; r <= freedom; r += 2) {
    total += term;
    term *= x / r;
  }
  return Math.min(1, total);
}

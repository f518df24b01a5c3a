/**
 * Information gain of one more rating: how much it lowers the variance over all styles. Port of
 * `information_gain` in tests/reference/palate_scoring.py; shared cases in
 * tests/vectors/teaching.json.
 *
 * @typedef {import('./score.js').Compact} Compact
 * @typedef {import('./score.js').ShelfBottle} ShelfBottle
 * @typedef {{style: string | null, group: number, features: Float64Array, effect:
 *   import('./score.js').Effect, row: Float64Array}} Answer row: covariance of the features'
 *   coefficients, and of the style's own effect, with this answer
 */
import { attributePosterior, get, matchStyle, matchOfStyle } from './bottle_attributes.js';
import { coefficients, styleEffect, expectedFeatures, scoreBottle, FIXED_POINT } from './score.js';

/**
 * Compute the mean reduction of the variance of expected liking, over a typical bottle of each
 * style, after one more rating of this bottle. For a joint normal, observing bottle i lowers the
 * variance of f_j by cov(f_i, f_j)^2 / var(answer i).
 * @param {Compact} compact the `compact` part of /api/palate
 * @param {ShelfBottle} bottle as for `scoreBottle`
 * @returns {number} squared points of liking
 */
export function informationGain(compact, bottle) {
  const asked = answer(compact, matchStyle(compact, bottle), bottle);
  const known = shared(compact, asked.group);
  const own = Math.max(asked.effect.variance - known, 0);
  const styles = usualStyles(compact);
  let total = 0;
  // Each of them has a style and a group, which an unknown bottle equals in neither.
  for (const other of styles) {
    let cov = dot(asked.row, other.features) + dot(asked.features, other.effect.withBeta);
    if (asked.group === other.group) cov += known;
    if (asked.style === other.style) cov += own;
    total += cov * cov;
  }
  const { sd } = scoreBottle(compact, bottle);
  return total / styles.length / (sd * sd);
}

/** @type {WeakMap<Compact, Answer[]>} */
const usual = new WeakMap();

/**
 * @param {Compact} compact
 * @returns {Answer[]} a typical bottle of each style
 */
function usualStyles(compact) {
  const cached = usual.get(compact);
  if (cached) return cached;
  const made = Object.keys(compact.profiles).map((style) => answer(compact, matchOfStyle(compact.profiles, style), {}));
  usual.set(compact, made);
  return made;
}

/**
 * @param {Compact} compact
 * @param {import('./bottle_attributes.js').StyleMatch} match
 * @param {ShelfBottle} bottle
 * @returns {Answer}
 */
function answer(compact, match, bottle) {
  const { beta, cov, effects } = coefficients(compact);
  const effect = styleEffect(compact, effects, match);
  const features = expectedFeatures(attributePosterior(compact, bottle, match));
  const size = beta.length;
  const row = Float64Array.from(
    { length: size },
    (_, i) => dot(features, cov.subarray(i * size, (i + 1) * size)) + get(effect.withBeta, i),
  );
  return { style: match.style, group: match.group, features, effect, row };
}

/**
 * Return the covariance that styles of one group share: half of the variance for a known group, a
 * third for an unknown one.
 * @param {Compact} compact
 * @param {number} group
 */
function shared(compact, group) {
  const known = compact.group_effects[String(group)];
  return known ? get(known, 1) / FIXED_POINT / 2 : compact.stranger_var / 3;
}

/** @param {Float64Array} one @param {Float64Array} other */
function dot(one, other) {
  let sum = 0;
  for (let i = 0; i < one.length; i += 1) sum += get(one, i) * get(other, i);
  return sum;
}

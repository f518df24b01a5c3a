/**
 * Predicts the liking of a bottle offline from the cached palate. Port of `score_bottle` in
 * tests/reference/palate_scoring.py; shared cases in tests/vectors/score.json.
 * webapp/palate/use/compact.py describes the compact form.
 *
 * Beta, covariances and effects are hundred-thousandths of a point of liking, profiles are
 * hundredths of z.
 *
 * @typedef {{bias: number[], gain: number[], bias_var: number[], cross: number[], gain_var: number[],
 *   noise: number}} Perception
 * @typedef {{sweetness: number, acidity: number, sugar_factor: number, half_sugar_gl: number, usual_acidity_gl: number,
 *   most_hidden: number, acidity_gl: number[], acidity_points: number[], sweetness_spread: number,
 *   acidity_spread: number, high: number}} Analysis
 * @typedef {{index: number, at_zero: number, per_unit: number, spread: number, low: number, high: number}} Printed
 * @typedef {{format: number, attributes: string[], centre: number[], scale: number[], printed: Printed | null,
 *   analysis?: Analysis | null, families?: Record<string, number[]>, perception: Perception, beta: number[],
 *   cov: number[], noise_var: number, stranger_var: number, liked_line: number, groups: string[],
 *   profiles: Record<string, number[]>, style_effects: Record<string, number[]>,
 *   group_effects: Record<string, number[]>}} Compact
 * @typedef {{style?: string | null, colour?: string | null, kind?: string | null, label_abv?: number | null,
 *   residual_sugar_gl?: number | null, total_acidity_gl?: number | null, [attribute: string]: string | number | null |
 *   undefined}} ShelfBottle
 * @typedef {{what: 'attribute' | 'alcohol' | 'style', name: string, direction: 'raises' | 'lowers',
 *   level: 'high' | 'usual' | 'low', value: number | null, effect: number}} Reason value: what the person would enter
 *   for the bottle, 0-10; null for a style
 * @typedef {{mean: number, sd: number, p_like: number, reasons: Reason[]}} Score
 * @typedef {{mean: number, variance: number, withBeta: Float64Array}} Effect
 * @typedef {{beta: Float64Array, cov: Float64Array, effects: Map<string | null, Effect>}} Coefficients
 * @typedef {{mean: Float64Array, variance: Float64Array}} Normal
 */

import { attributePosterior, clamp, get, matchStyle } from './bottle_attributes.js';

/** @typedef {import('./bottle_attributes.js').StyleMatch} StyleMatch */

export const FIXED_POINT = 1e5;
const LIKING_LOW = 1;
const LIKING_HIGH = 9;
const SCALE_LOW = 0;
const SCALE_HIGH = 10;
const MAX_REASONS = 3;
const MIN_EFFECT = 0.05;
const USUAL_Z = 0.5;

/**
 * Predict the liking of one bottle.
 * @param {Compact} compact the `compact` part of /api/palate
 * @param {ShelfBottle} bottle ids of style, colour and kind, label alcohol (% vol), sugar and acidity (g/l) and
 *   ratings (0-10), all optional
 * @returns {Score} mean liking (1..9), sd of a new rating, P(liking >= 7), up to three reasons
 */
export function scoreBottle(compact, bottle) {
  const match = matchStyle(compact, bottle);
  const { beta, cov, effects } = coefficients(compact);
  const effect = styleEffect(compact, effects, match);
  const z = attributePosterior(compact, bottle, match);
  const features = expectedFeatures(z);
  let mean = effect.mean;
  let variance = effect.variance;
  const size = beta.length;
  for (let i = 0; i < size; i += 1) {
    let row = get(effect.withBeta, i);
    for (let j = 0; j < i; j += 1) row += get(cov, i * size + j) * get(features, j);
    mean += get(features, i) * get(beta, i);
    variance += get(features, i) * (2 * row + get(cov, i * size + i) * get(features, i));
  }
  const sd = Math.sqrt(Math.max(variance, 0) + scatterVariance(beta, cov, z) + compact.noise_var);
  return {
    mean: clamp(mean, LIKING_LOW, LIKING_HIGH),
    sd,
    p_like: normalCdf((mean - compact.liked_line) / sd),
    reasons: reasonsOf(compact, bottle, beta, features, z, match.style, effect.mean),
  };
}

/** @type {WeakMap<Compact, Coefficients>} */
const unpacked = new WeakMap();

/**
 * @param {Compact} compact
 * @returns {Coefficients} cov is the full square matrix by rows; effects is a cache by style or family
 */
export function coefficients(compact) {
  const known = unpacked.get(compact);
  if (known) return known;
  const size = compact.beta.length;
  const beta = Float64Array.from(compact.beta, (value) => value / FIXED_POINT);
  const cov = new Float64Array(size * size);
  for (let i = 0, next = 0; i < size; i += 1) {
    for (let j = 0; j <= i; j += 1, next += 1) {
      cov[i * size + j] = get(compact.cov, next) / FIXED_POINT;
      cov[j * size + i] = get(cov, i * size + j);
    }
  }
  const made = { beta, cov, effects: new Map() };
  unpacked.set(compact, made);
  return made;
}

/**
 * Return the effect of a style: its own, else that of its group, else the prior.
 * @param {Compact} compact
 * @param {Map<string | null, Effect>} effects
 * @param {StyleMatch} match
 * @returns {Effect}
 */
export function styleEffect(compact, effects, { style, name, group }) {
  const known = effects.get(name);
  if (known) return known;
  const numbers = (style === null ? undefined : compact.style_effects[style]) ??
    compact.group_effects[String(group)] ?? [0, compact.stranger_var * FIXED_POINT, ...compact.beta.map(() => 0)];
  const effect = {
    mean: get(numbers, 0) / FIXED_POINT,
    variance: get(numbers, 1) / FIXED_POINT,
    withBeta: Float64Array.from(numbers.slice(2), (value) => value / FIXED_POINT),
  };
  effects.set(name, effect);
  return effect;
}

/**
 * Return E[1, z / sqrt(K), (z^2 - 1) / sqrt(2K)].
 * @param {Normal} z
 * @returns {Float64Array}
 */
export function expectedFeatures({ mean, variance }) {
  const count = mean.length;
  const features = new Float64Array(1 + 2 * count);
  features[0] = 1;
  for (let k = 0; k < count; k += 1) {
    features[1 + k] = get(mean, k) / Math.sqrt(count);
    features[1 + count + k] = (get(mean, k) ** 2 + get(variance, k) - 1) / Math.sqrt(2 * count);
  }
  return features;
}

/**
 * Return the variance of liking from the uncertainty of the attributes.
 * @param {Float64Array} beta
 * @param {Float64Array} cov
 * @param {Normal} z
 * @returns {number}
 */
function scatterVariance(beta, cov, { mean, variance }) {
  const count = mean.length;
  const size = beta.length;
  let total = 0;
  for (let k = 0; k < count; k += 1) {
    const line = 1 + k;
    const bend = 1 + count + k;
    const [m, v] = [get(mean, k), get(variance, k)];
    total += (v / count) * (get(beta, line) ** 2 + get(cov, line * size + line));
    total += ((4 * m * v) / (count * Math.SQRT2)) * (get(beta, line) * get(beta, bend) + get(cov, line * size + bend));
    total += ((4 * m * m * v + 2 * v * v) / (2 * count)) * (get(beta, bend) ** 2 + get(cov, bend * size + bend));
  }
  return total;
}

/**
 * Split the expected liking, relative to a typical bottle, into parts; largest first.
 * @param {Compact} compact
 * @param {ShelfBottle} bottle
 * @param {Float64Array} beta
 * @param {Float64Array} features
 * @param {Normal} z
 * @param {string | null} style
 * @param {number} styleEffect
 * @returns {Reason[]}
 */
function reasonsOf(compact, bottle, beta, features, z, style, styleEffect) {
  const { attributes, printed } = compact;
  const count = attributes.length;
  const parts = new Float64Array(style === null ? count : count + 1);
  for (let k = 0; k < count; k += 1) {
    parts[k] = get(features, 1 + k) * get(beta, 1 + k) + get(features, 1 + count + k) * get(beta, 1 + count + k);
  }
  if (style !== null) parts[count] = styleEffect;
  /** @type {Reason[]} */
  const found = [];
  while (found.length < MAX_REASONS) {
    const k = indexOfLargest(parts);
    const effect = get(parts, k);
    if (Math.abs(effect) < MIN_EFFECT) break;
    const own = k === count;
    const name = own ? String(style) : get(attributes, k);
    const isAbv = printed?.index === k && typeof bottle.label_abv === 'number' && typeof bottle[name] !== 'number';
    found.push({
      what: own ? 'style' : isAbv ? 'alcohol' : 'attribute',
      name,
      direction: effect > 0 ? 'raises' : 'lowers',
      level: own ? 'usual' : level(get(z.mean, k)),
      value: own ? null : ownScale(compact, k, get(z.mean, k)),
      effect,
    });
    parts[k] = 0;
  }
  return found;
}

/**
 * @param {Float64Array} parts
 * @returns {number} index of the part with the largest absolute value, the first of equals
 */
function indexOfLargest(parts) {
  let best = 0;
  for (let k = 1; k < parts.length; k += 1) if (Math.abs(get(parts, k)) > Math.abs(get(parts, best))) best = k;
  return best;
}

/**
 * Return what the person would enter for a true value.
 * @param {Compact} compact
 * @param {number} k
 * @param {number} z
 */
function ownScale({ centre, scale, perception: { bias, gain } }, k, z) {
  const value = get(centre, k) + get(scale, k) * (get(bias, k) + get(gain, k) * z);
  return clamp(value, SCALE_LOW, SCALE_HIGH);
}

/** @param {number} z @returns {'high' | 'usual' | 'low'} */
function level(z) {
  if (Math.abs(z) < USUAL_Z) return 'usual';
  return z > 0 ? 'high' : 'low';
}

/**
 * Compute the standard normal distribution function: the series of Abramowitz & Stegun 26.2.11 in
 * the middle, Laplace's continued fraction (26.2.14) in the tails; error below 1e-13 everywhere.
 * @param {number} x
 * @returns {number}
 */
export function normalCdf(x) {
  const density = Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
  if (Math.abs(x) < 3) {
    let term = x;
    let sum = x;
    for (let n = 3; Math.abs(term) > 1e-17; n += 2) {
      term *= (x * x) / n;
      sum += term;
    }
    return 0.5 + density * sum;
  }
  let fraction = 0;
  for (let n = 60; n > 0; n -= 1) fraction = n / (Math.abs(x) + fraction);
  const tail = density / (Math.abs(x) + fraction);
  return x > 0 ? 1 - tail : tail;
}

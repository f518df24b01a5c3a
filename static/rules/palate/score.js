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
 * @typedef {{index: number, at_zero: number, per_unit: number, spread: number, low: number, high: number}} Printed
 * @typedef {{format: number, attributes: string[], centre: number[], scale: number[], printed: Printed | null,
 *   perception: Perception, beta: number[], cov: number[], noise_var: number, stranger_var: number,
 *   liked_line: number, groups: string[], profiles: Record<string, number[]>,
 *   style_effects: Record<string, number[]>, group_effects: Record<string, number[]>}} Compact
 * @typedef {{style?: string | null, label_abv?: number | null, [attribute: string]: string | number | null |
 *   undefined}} ShelfBottle
 * @typedef {{what: 'attribute' | 'alcohol' | 'style', name: string, direction: 'raises' | 'lowers',
 *   level: 'high' | 'usual' | 'low', effect: number}} Reason
 * @typedef {{mean: number, sd: number, p_like: number, reasons: Reason[]}} Score
 * @typedef {{mean: number, variance: number, withBeta: Float64Array}} Effect
 * @typedef {{beta: Float64Array, cov: Float64Array, effects: Map<string | null, Effect>}} Coefficients
 * @typedef {{mean: Float64Array, variance: Float64Array}} Normal
 */

export const FIXED_POINT = 1e5;
const PROFILE_UNIT = 100;
const LIKING_LOW = 1;
const LIKING_HIGH = 9;
const MAX_REASONS = 3;
const MIN_EFFECT = 0.05;
const USUAL_Z = 0.5;
const MAX_Z = 10;

/**
 * Predict the liking of one bottle.
 * @param {Compact} compact the `compact` part of /api/palate
 * @param {ShelfBottle} bottle style id, label alcohol (% vol) and ratings (0-10), all optional
 * @returns {Score} mean liking (1..9), sd of a new rating, P(liking >= 7), up to three reasons
 */
export function scoreBottle(compact, bottle) {
  const style = typeof bottle.style === 'string' && Object.hasOwn(compact.profiles, bottle.style) ? bottle.style : null;
  const { beta, cov, effects } = coefficients(compact);
  const effect = styleEffect(compact, effects, style);
  const z = attributePosterior(compact, bottle, style);
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
    reasons: reasonsOf(compact, bottle, beta, features, z, style, effect.mean),
  };
}

/** @type {WeakMap<Compact, Coefficients>} */
const unpacked = new WeakMap();

/**
 * @param {Compact} compact
 * @returns {Coefficients} cov is the full square matrix by rows; effects is a cache by style
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
 * @param {string | null} style
 * @returns {Effect}
 */
export function styleEffect(compact, effects, style) {
  const known = effects.get(style);
  if (known) return known;
  const group = style === null ? -1 : get(styleProfile(compact, style), 0);
  const numbers = (style === null ? undefined : compact.style_effects[style]) ??
    compact.group_effects[String(group)] ?? [0, compact.stranger_var * FIXED_POINT, ...compact.beta.map(() => 0)];
  const effect = {
    mean: get(numbers, 0) / FIXED_POINT,
    variance: get(numbers, 1) / FIXED_POINT,
    withBeta: Float64Array.from(numbers.slice(2), (value) => value / FIXED_POINT),
  };
  effects.set(style, effect);
  return effect;
}

/** @param {Compact} compact @param {string} style @returns {number[]} */
export function styleProfile({ profiles }, style) {
  return /** @type {number[]} */ (profiles[style]);
}

/**
 * Estimate the bottle's attributes in z: from the style, then the label, then the ratings.
 * @param {Compact} compact
 * @param {ShelfBottle} bottle
 * @param {string | null} style
 * @returns {Normal}
 */
export function attributePosterior(compact, bottle, style) {
  const count = compact.attributes.length;
  const profile = style === null ? null : styleProfile(compact, style);
  const mean = new Float64Array(count);
  const variance = new Float64Array(count).fill(1);
  for (let k = 0; profile && k < count; k += 1) {
    mean[k] = get(profile, 1 + k) / PROFILE_UNIT;
    variance[k] = (get(profile, 1 + count + k) / PROFILE_UNIT) ** 2;
  }
  readLabel(compact, bottle.label_abv ?? null, mean, variance);
  for (let k = 0; k < count; k += 1) {
    const judged = bottle[get(compact.attributes, k)];
    if (typeof judged === 'number') readJudged(compact, k, judged, mean, variance);
  }
  return { mean, variance };
}

/**
 * @param {Compact} compact
 * @param {number | null} abv % vol
 * @param {Float64Array} mean changed in place
 * @param {Float64Array} variance changed in place
 */
function readLabel({ printed, centre, scale }, abv, mean, variance) {
  if (!printed || abv === null) return;
  const value = clamp(printed.at_zero + printed.per_unit * abv, printed.low, printed.high);
  mean[printed.index] = clamp((value - get(centre, printed.index)) / get(scale, printed.index), -MAX_Z, MAX_Z);
  variance[printed.index] = (printed.spread / get(scale, printed.index)) ** 2;
}

/**
 * Read an entry that is known to exist.
 * @template T
 * @param {ArrayLike<T>} list
 * @param {number} i
 * @returns {T}
 */
export function get(list, i) {
  return /** @type {T} */ (list[i]);
}

/** @param {number} value @param {number} low @param {number} high @returns {number} */
function clamp(value, low, high) {
  return Math.min(Math.max(value, low), high);
}

/**
 * Update with one rating: normal prior times normal likelihood.
 * @param {Compact} compact
 * @param {number} k
 * @param {number} judged
 * @param {Float64Array} mean changed in place
 * @param {Float64Array} variance changed in place
 */
function readJudged({ perception: p, centre, scale }, k, judged, mean, variance) {
  const [before, spread] = [get(mean, k), get(variance, k)];
  const noise = p.noise ** 2 + get(p.bias_var, k) + 2 * before * get(p.cross, k) + before ** 2 * get(p.gain_var, k);
  const share = (spread * get(p.gain, k)) / (get(p.gain, k) ** 2 * spread + noise);
  const z = clamp((judged - get(centre, k)) / get(scale, k), -MAX_Z, MAX_Z);
  mean[k] = before + share * (z - get(p.bias, k) - get(p.gain, k) * before);
  variance[k] = spread * (1 - share * get(p.gain, k));
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
function reasonsOf({ attributes, printed }, bottle, beta, features, z, style, styleEffect) {
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

/**
 * What is known of a bottle's attributes before liking: style, or colour and kind, then sugar and
 * acidity, the label's alcohol, and ratings. Port of `bottle_in_z` in
 * tests/reference/palate_scoring.py; tested through tests/vectors/score.json.
 *
 * @typedef {import('./score.js').Compact} Compact
 * @typedef {import('./score.js').ShelfBottle} ShelfBottle
 * @typedef {import('./score.js').Normal} Normal
 * @typedef {{style: string | null, name: string | null, group: number, profile: number[] | null}} StyleMatch
 *   profile: [group, K z, K sd] of the style, or of the bottles of its colour and kind; name: of either
 */

const PROFILE_UNIT = 100;
const MAX_Z = 10;

/**
 * Look up the style; if it is not known, the narrowest family with this colour and kind.
 * @param {Compact} compact
 * @param {ShelfBottle} bottle
 * @returns {StyleMatch}
 */
export function matchStyle({ profiles, families = {} }, { style, colour, kind }) {
  if (typeof style === 'string' && Object.hasOwn(profiles, style)) return matchOfStyle(profiles, style);
  const name = [`${colour ?? ''}|${kind ?? ''}`, `${colour ?? ''}|`, `|${kind ?? ''}`].find((each) =>
    Object.hasOwn(families, each),
  );
  const profile = name === undefined ? null : /** @type {number[]} */ (families[name]);
  return { style: null, name: name ?? null, group: profile ? get(profile, 0) : -1, profile };
}

/** @param {Compact['profiles']} profiles @param {string} style @returns {StyleMatch} */
export function matchOfStyle(profiles, style) {
  const profile = /** @type {number[]} */ (profiles[style]);
  return { style, name: style, group: get(profile, 0), profile };
}

/**
 * Estimate the bottle's attributes in z.
 * @param {Compact} compact
 * @param {ShelfBottle} bottle
 * @param {StyleMatch} match
 * @returns {Normal}
 */
export function attributePosterior(compact, bottle, { profile }) {
  const count = compact.attributes.length;
  const mean = new Float64Array(count);
  const variance = new Float64Array(count).fill(1);
  for (let k = 0; profile && k < count; k += 1) {
    mean[k] = get(profile, 1 + k) / PROFILE_UNIT;
    variance[k] = (get(profile, 1 + count + k) / PROFILE_UNIT) ** 2;
  }
  readAnalysis(compact, bottle, mean, variance);
  readLabel(compact, bottle.label_abv ?? null, mean, variance);
  for (let k = 0; k < count; k += 1) {
    const judged = bottle[get(compact.attributes, k)];
    if (typeof judged === 'number') readJudged(compact, k, judged, mean, variance);
  }
  return { mean, variance };
}

/**
 * @param {Compact} compact
 * @param {ShelfBottle} bottle
 * @param {Float64Array} mean changed in place
 * @param {Float64Array} variance changed in place
 */
function readAnalysis(compact, { residual_sugar_gl: sugar, total_acidity_gl: acidity }, mean, variance) {
  const curves = compact.analysis;
  if (!curves) return;
  if (typeof sugar === 'number') {
    const hidden = typeof acidity === 'number' ? acidity - curves.usual_acidity_gl : 0;
    const tasted = sugar - clamp(hidden, -curves.most_hidden * sugar, curves.most_hidden * sugar);
    const sweetness = Math.min(curves.sugar_factor * Math.log1p(tasted / curves.half_sugar_gl), curves.high);
    combine(compact, curves.sweetness, sweetness, curves.sweetness_spread, mean, variance);
  }
  if (typeof acidity === 'number') {
    const sourness = interpolate(acidity, curves.acidity_gl, curves.acidity_points);
    combine(compact, curves.acidity, sourness, curves.acidity_spread, mean, variance);
  }
}

/**
 * Multiply the normal of an attribute by that of a stated value.
 * @param {Compact} compact
 * @param {number} k
 * @param {number} stated
 * @param {number} spread
 * @param {Float64Array} mean changed in place
 * @param {Float64Array} variance changed in place
 */
function combine({ centre, scale }, k, stated, spread, mean, variance) {
  const share = get(variance, k) / (get(variance, k) + (spread / get(scale, k)) ** 2);
  mean[k] = get(mean, k) + share * ((stated - get(centre, k)) / get(scale, k) - get(mean, k));
  variance[k] = get(variance, k) * (1 - share);
}

/**
 * @param {number} x
 * @param {number[]} xs rising
 * @param {number[]} ys
 * @returns {number} linear between the points, constant beyond them
 */
function interpolate(x, xs, ys) {
  const next = xs.findIndex((each) => each >= x);
  if (next === 0) return get(ys, 0);
  if (next < 0) return get(ys, ys.length - 1);
  const share = (x - get(xs, next - 1)) / (get(xs, next) - get(xs, next - 1));
  return get(ys, next - 1) + share * (get(ys, next) - get(ys, next - 1));
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
export function clamp(value, low, high) {
  return Math.min(Math.max(value, low), high);
}

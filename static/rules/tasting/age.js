import evidence from '../../spec/evidence.json' with { type: 'json' };
import { likelihoods, wineColour, ignoredCues, informativeCues } from './age_cues.js';
import { requiredInRange } from '../stats/numbers.js';

const RULES = evidence.age;
/** @type {Record<string, number[]>} */
const PRIORS = RULES.prior;

/**
 * @typedef {import('./age_cues.js').Fields} Fields
 * @typedef {import('./age_cues.js').AgeingStyle} AgeingStyle
 * @typedef {import('./age_cues.js').OwnCues} OwnCues
 * @typedef {{ sign: string, value: string, direction: 'younger' | 'older' | 'neither', strength: 'none' | 'weak' |
 *   'some' | 'strong', note: string | null }} AgeReason
 * @typedef {{ known: boolean, bands: { low: number, high: number, share: number }[], low: number | null, middle: number
 *   | null, high: number | null, reasons: AgeReason[] }} AgeEstimate
 */

/**
 * Tell how old the signs say a wine is, as a distribution; see tests/reference/rules/age.py.
 * @param {Fields} tasting
 * @param {Fields} bottle
 * @param {AgeingStyle | null} [style] its row of styles.json
 * @param {OwnCues | null} [own] from `learnCues`
 * @returns {AgeEstimate}
 */
export function estimateAge(tasting, bottle, style = null, own = null) {
  const colour = wineColour(tasting, bottle);
  const ignored = ignoredCues(bottle.kind, colour, style);
  /** @type {AgeReason[]} */
  const reasons = [];
  let belief = priorOf(bottle.kind, colour);
  let known = false;
  for (const [sign, value] of informativeCues(tasting, colour, style)) {
    const ratios = ignored.has(sign) ? null : likelihoods(sign, value, colour, style, own);
    if (ratios === null) {
      reasons.push(reasonOf(sign, value, 0, ignored.has(sign) ? 'method_not_age' : null));
      continue;
    }
    known = true;
    const isUncertain = RULES.proves_nothing_alone.includes(value);
    const power = isUncertain ? RULES.doubtful_sign_temper : RULES.temper;
    belief = belief.map((each, band) => each * (ratios[band] ?? 1) ** power);
    reasons.push(reasonOf(sign, value, power * logRatio(ratios, colour), isUncertain ? 'proves_nothing_alone' : null));
  }
  const total = belief.reduce((sum, each) => sum + each, 0);
  const shares = belief.map((each) => each / total);
  const bands = shares.map((share, index) => ({ low: edge(index), high: edge(index + 1), share }));
  const years = (/** @type {number} */ level) => (known ? quantile(shares, level) : null);
  return { known, bands, low: years(0.1), middle: years(0.5), high: years(0.9), reasons };
}

/**
 * Tell whether the vintage fits the cues.
 * @param {{ low: number | null, high: number | null }} estimate an `AgeEstimate`
 * @param {unknown} vintage
 * @param {unknown} year of the tasting
 * @returns {{ age_years: number | null, position: 'fits' | 'older_than_vintage' | 'younger_than_vintage' | 'unknown' }}
 */
export function compareWithVintage(estimate, vintage, year) {
  if (vintage === null || vintage === undefined) return { age_years: null, position: 'unknown' };
  const harvestYear = requiredInRange(vintage, 'vintage', 1000, 9999);
  const age = Math.max(0, requiredInRange(year, 'year', 1000, 9999) - harvestYear);
  if (estimate.low === null || estimate.high === null) return { age_years: age, position: 'unknown' };
  // A vintage is a whole year, so one year of tolerance is allowed on either side.
  if (age + 1 < estimate.low) return { age_years: age, position: 'older_than_vintage' };
  return { age_years: age, position: age - 1 > estimate.high ? 'younger_than_vintage' : 'fits' };
}

/**
 * @param {unknown} kind
 * @param {string | null} colour
 * @returns {number[]}
 */
function priorOf(kind, colour) {
  const name = kind === 'fortified' || kind === 'sweet' ? kind : colour;
  return (name !== null && Object.hasOwn(PRIORS, name) ? PRIORS[name] : undefined) ?? RULES.prior.red;
}

/**
 * Log ratio of old to young bands: positive for age.
 * @param {number[]} ratios
 * @param {string | null} colour
 */
function logRatio(ratios, colour) {
  const weights = priorOf(null, colour);
  const young = mean(ratios.slice(0, RULES.young_bands), weights.slice(0, RULES.young_bands));
  const old = mean(ratios.slice(RULES.old_bands_from), weights.slice(RULES.old_bands_from));
  return Math.log(old / young);
}

/**
 * @param {number[]} values
 * @param {number[]} weights
 */
function mean(values, weights) {
  const total = weights.reduce((sum, each) => sum + each, 0);
  return values.reduce((sum, each, index) => sum + each * (weights[index] ?? 0), 0) / total;
}

/**
 * @param {string} sign
 * @param {string} value
 * @param {number} ratio
 * @param {string | null} note
 * @returns {AgeReason}
 */
function reasonOf(sign, value, ratio, note) {
  const size = Math.abs(ratio);
  if (size < RULES.neither_below) return { sign, value, direction: 'neither', strength: 'none', note };
  const strength = size >= RULES.strong_from ? 'strong' : size >= RULES.some_from ? 'some' : 'weak';
  return { sign, value, direction: ratio > 0 ? 'older' : 'younger', strength, note };
}

/** @param {number} index */
function edge(index) {
  return RULES.edges_years[index] ?? 0;
}

/**
 * Return the quantile in years, interpolated within a band.
 * @param {number[]} shares
 * @param {number} level
 */
function quantile(shares, level) {
  let cumulative = 0;
  for (const [index, share] of shares.entries()) {
    cumulative += share;
    if (cumulative >= level) return edge(index) + (1 - (cumulative - level) / share) * (edge(index + 1) - edge(index));
  }
  return edge(shares.length);
}

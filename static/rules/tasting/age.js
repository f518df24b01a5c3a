import evidence from '../../spec/evidence.json' with { type: 'json' };
import { likelihoods, wineColour, ignoredCues, informativeCues } from './age_cues.js';
import { requiredInRange } from '../stats/numbers.js';

const RULES = evidence.age;
/** @type {Record<string, number[]>} */
const PRIORS = RULES.prior;

/**
 * @typedef {import('./age_cues.js').Fields} Fields
 * @typedef {import('./age_cues.js').AgeingStyle} AgeingStyle
 * @typedef {import('./age_cues.js').OwnSigns} OwnSigns
 * @typedef {{ sign: string, value: string, direction: 'younger' | 'older' | 'neither', strength: 'none' | 'weak' |
 *   'some' | 'strong', note: string | null }} AgeSign
 * @typedef {{ known: boolean, bands: { low: number, high: number, share: number }[], low: number | null, middle: number
 *   | null, high: number | null, reasons: AgeSign[] }} AgeReading
 */

/**
 * How old the signs say a wine is, as a distribution; see tests/reference/rules/age.py.
 * @param {Fields} tasting
 * @param {Fields} bottle
 * @param {AgeingStyle | null} [style] its row of styles.json
 * @param {OwnSigns | null} [own] from `learnCues`
 * @returns {AgeReading}
 */
export function estimateAge(tasting, bottle, style = null, own = null) {
  const colour = wineColour(tasting, bottle);
  const quiet = ignoredCues(bottle.kind, colour, style);
  /** @type {AgeSign[]} */
  const reasons = [];
  let belief = priorOf(bottle.kind, colour);
  let known = false;
  for (const [sign, value] of informativeCues(tasting, colour, style)) {
    const told = quiet.has(sign) ? null : likelihoods(sign, value, colour, style, own);
    if (told === null) {
      reasons.push(reasonOf(sign, value, 0, quiet.has(sign) ? 'method_not_age' : null));
      continue;
    }
    known = true;
    const doubtful = RULES.proves_nothing_alone.includes(value);
    const power = doubtful ? RULES.doubtful_sign_temper : RULES.temper;
    belief = belief.map((each, band) => each * (told[band] ?? 1) ** power);
    reasons.push(reasonOf(sign, value, power * lean(told, colour), doubtful ? 'proves_nothing_alone' : null));
  }
  const total = belief.reduce((sum, each) => sum + each, 0);
  const shares = belief.map((each) => each / total);
  const bands = shares.map((share, index) => ({ low: edge(index), high: edge(index + 1), share }));
  const years = (/** @type {number} */ level) => (known ? quantile(shares, level) : null);
  return { known, bands, low: years(0.1), middle: years(0.5), high: years(0.9), reasons };
}

/**
 * Tell whether the vintage fits the cues.
 * @param {{ low: number | null, high: number | null }} reading an `AgeReading`
 * @param {unknown} vintage
 * @param {unknown} year of the tasting
 * @returns {{ age_years: number | null, position: 'fits' | 'older_than_vintage' | 'younger_than_vintage' | 'unknown' }}
 */
export function compareWithVintage(reading, vintage, year) {
  if (vintage === null || vintage === undefined) return { age_years: null, position: 'unknown' };
  const grown = requiredInRange(vintage, 'vintage', 1000, 9999);
  const age = Math.max(0, requiredInRange(year, 'year', 1000, 9999) - grown);
  if (reading.low === null || reading.high === null) return { age_years: age, position: 'unknown' };
  // A vintage is a whole year, so one year of tolerance is allowed on either side.
  if (age + 1 < reading.low) return { age_years: age, position: 'older_than_vintage' };
  return { age_years: age, position: age - 1 > reading.high ? 'younger_than_vintage' : 'fits' };
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
 * @param {number[]} told
 * @param {string | null} colour
 */
function lean(told, colour) {
  const weights = priorOf(null, colour);
  const young = mean(told.slice(0, RULES.young_bands), weights.slice(0, RULES.young_bands));
  const old = mean(told.slice(RULES.old_bands_from), weights.slice(RULES.old_bands_from));
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
 * @param {number} leaning
 * @param {string | null} note
 * @returns {AgeSign}
 */
function reasonOf(sign, value, leaning, note) {
  const size = Math.abs(leaning);
  if (size < RULES.neither_below) return { sign, value, direction: 'neither', strength: 'none', note };
  const strength = size >= RULES.strong_from ? 'strong' : size >= RULES.some_from ? 'some' : 'weak';
  return { sign, value, direction: leaning > 0 ? 'older' : 'younger', strength, note };
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
  let reached = 0;
  for (const [index, share] of shares.entries()) {
    reached += share;
    if (reached >= level) return edge(index) + (1 - (reached - level) / share) * (edge(index + 1) - edge(index));
  }
  return edge(shares.length);
}

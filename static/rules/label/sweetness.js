import data from '../../spec/sweetness.json' with { type: 'json' };
import { RuleError } from '../errors.js';
import { roundHalfUp, requiredInRange, inRange } from '../stats/numbers.js';

/**
 * @typedef {{ id: string, low: number, high?: number, low_exclusive?: boolean, high_exclusive?: boolean,
 *   above_previous?: boolean, needs?: string, acidity?: { high: number, margin: number } }} Term
 * @typedef {{ terms: string[], possible: string[] }} Terms
 */

/** @type {{ id: string, tolerance: number, terms: Term[] }[]} */
const SCALES = data.scales;
/** @type {Record<string, string>} */
const MARKETS = data.markets;

/**
 * Select the scale of terms by kind, market (EU, GB, ZA) and vintage of the label.
 * @param {unknown} kind
 * @param {unknown} market
 * @param {unknown} vintage
 * @returns {string | null}
 */
export function sweetnessScale(kind, market, vintage) {
  if (typeof market !== 'string' || !Object.hasOwn(MARKETS, market)) return null;
  const family = MARKETS[market];
  if (family === 'eu' && kind === 'sparkling') {
    const year = inRange(vintage, 'vintage', 1000, 9999);
    const changed = Number(data.changed_on.slice(0, 4));
    // A wine is sold at least a year after its vintage.
    return year !== null && year < changed - 1 ? 'eu_sparkling_before_2009' : 'eu_sparkling';
  }
  return kind === 'still' || kind === 'semi_sparkling' || kind === 'sweet' ? `${family}_still` : null;
}

/**
 * List the words allowed at a sugar and total acidity in g/l; see `sweetness_terms` in
 * tests/reference/rules/sweetness.py.
 * @param {string} scale
 * @param {unknown} sugarGl
 * @param {unknown} [acidityGl]
 * @param {boolean | null} [sugarAdded]
 * @param {boolean} [withTolerance]
 * @returns {Terms}
 */
export function sweetnessTerms(scale, sugarGl, acidityGl = null, sugarAdded = null, withTolerance = false) {
  const rules = scaleOf(scale);
  const sugar = roundHalfUp(requiredInRange(sugarGl, 'sugar_gl', 0, 1000) * 100);
  const tolerance = withTolerance ? rules.tolerance : 0;
  const acidity = inRange(acidityGl, 'acidity_gl', 0, 100);
  // Limits are monotonic in acidity, so zero and a large value bound an unknown one.
  const acidities = acidity === null ? [0, 10_000] : [roundHalfUp(acidity * 100)];
  const found = acidities.map((each) => allowed(rules.terms, Math.max(0, sugar - tolerance), sugar + tolerance, each));
  const terms = rules.terms.filter((term) => sugarAdded !== true || term.needs === undefined);
  const sure = terms.filter(
    (term) => (term.needs === undefined || sugarAdded === false) && found.every((each) => each.has(term.id)),
  );
  const may = terms.filter((term) => !sure.includes(term) && found.some((each) => each.has(term.id)));
  return { terms: sure.map((term) => term.id), possible: may.map((term) => term.id) };
}

/**
 * Tell whether a printed term fits a sugar and an acidity.
 * @param {string} scale
 * @param {string} term
 * @param {unknown} sugarGl
 * @param {unknown} [acidityGl]
 * @param {boolean | null} [sugarAdded]
 * @returns {'agrees' | 'may_agree' | 'within_tolerance' | 'disagrees'}
 */
export function sweetnessAgrees(scale, term, sugarGl, acidityGl = null, sugarAdded = null) {
  if (!scaleOf(scale).terms.some((each) => each.id === term)) throw new RuleError('unknown_term', 'term');
  const exact = sweetnessTerms(scale, sugarGl, acidityGl, sugarAdded);
  if (exact.terms.includes(term)) return 'agrees';
  if (exact.possible.includes(term)) return 'may_agree';
  const tolerated = sweetnessTerms(scale, sugarGl, acidityGl, sugarAdded, true);
  return [...tolerated.terms, ...tolerated.possible].includes(term) ? 'within_tolerance' : 'disagrees';
}

/**
 * Return terms whose sugar interval overlaps `low`..`high` (hundredths of a gram per litre).
 * @param {Term[]} terms
 * @param {number} low
 * @param {number} high
 * @param {number} acidity
 */
function allowed(terms, low, high, acidity) {
  /** @type {Set<string>} */
  const found = new Set();
  let previous = 0;
  for (const term of terms) {
    const top = topOf(term, acidity);
    const starts = term.above_previous ? previous : term.low;
    const openBelow = term.low_exclusive || (term.above_previous && previous > 0);
    const reaches = openBelow ? high > starts : high >= starts;
    const falls = top === null || (term.high_exclusive ? low < top : low <= top);
    if (reaches && falls) found.add(term.id);
    previous = top || previous;
  }
  return found;
}

/**
 * Return the maximum sugar of a term; acidity raises it up to a second limit.
 * @param {Term} term
 * @param {number} acidity
 */
function topOf(term, acidity) {
  if (term.high === undefined || term.acidity === undefined) return term.high ?? null;
  return Math.max(term.high, Math.min(term.acidity.high, acidity + term.acidity.margin));
}

/** @param {string} scale */
function scaleOf(scale) {
  const found = SCALES.find((each) => each.id === scale);
  if (!found) throw new RuleError('unknown_scale', 'scale');
  return found;
}

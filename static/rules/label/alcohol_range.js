import data from '../../spec/label_rules.json' with { type: 'json' };
import { RuleError } from '../errors.js';
import {
  toRange,
  clampToClass,
  clampToWords,
  clampPrintedRange,
  legalMarket,
  ruleFor,
  ruleById,
  productTypeOf,
} from './alcohol_rule.js';
import { toHundredths } from '../stats/numbers.js';

/** @typedef {import('./alcohol_rule.js').LabelRange} LabelRange */
/** @typedef {import('./alcohol_rule.js').LabelledBottle} LabelledBottle */

/** @type {Record<string, { step: number, error: string }>} */
const STEPS = data.steps;

/**
 * Return the strengths that the label allows; see `label_range` in webapp/rules/alcohol_range.py.
 * @param {LabelledBottle} bottle
 * @param {string} today YYYY-MM-DD
 * @param {string | null} [reading] `strict14` or `wide` overrides the decided reading of the United States' rule
 * @returns {LabelRange}
 */
export function toleranceRange(bottle, today, reading = null) {
  if (reading !== null && reading !== 'strict14' && reading !== 'wide')
    throw new RuleError('unknown_reading', 'reading');
  const stated = toHundredths(bottle.label_abv, 'label_abv');
  const low = toHundredths(bottle.label_abv_low, 'label_abv_low');
  const high = toHundredths(bottle.label_abv_high, 'label_abv_high');
  const market = legalMarket(bottle.label_market);
  if (stated !== null) return direct(bottle, market, stated, today, reading);
  if (low !== null && high !== null) {
    /** @type {[number, number]} */
    const ends = [Math.min(low, high), Math.max(low, high)];
    const found = printedRange(bottle, market, ...ends, today);
    if (market === 'US') clampPrintedRange(found, ends, productTypeOf(bottle), bottle.kind, reading);
    // A reversed range is reported and not thrown, because two phones may each have changed one
    // end.
    if (low > high) found.errors.push('range_reversed');
    return found;
  }
  const found = withoutNumber(bottle, market);
  if (low !== null || high !== null) found.errors.push('range_incomplete');
  return found;
}

/**
 * @param {LabelledBottle} bottle
 * @param {string | null} market
 * @param {number} stated
 * @param {string} today
 * @param {string | null} reading
 */
function direct(bottle, market, stated, today, reading) {
  const { rule, assumed } = ruleFor(bottle, market, stated, today);
  const found = toRange(rule, market, Math.max(0, stated - rule.tolerance), stated + rule.tolerance);
  found.assumed = assumed;
  const step = market !== null && Object.hasOwn(STEPS, market) ? STEPS[market] : undefined;
  if (step && rule.market !== null && stated % step.step) found.errors.push(step.error);
  if (market === 'US') clampToClass(found, stated, productTypeOf(bottle), bottle.kind, reading);
  clampToWords(found, stated, bottle);
  return found;
}

/**
 * @param {LabelledBottle} bottle
 * @param {string | null} market
 * @param {number} low
 * @param {number} high
 * @param {string} today
 */
function printedRange(bottle, market, low, high, today) {
  if (market === 'US') {
    const allowed = data.us.printed_range_width.find((each) => each.upto === null || high <= each.upto);
    if (allowed && high - low <= allowed.width) return toRange(ruleById('us_printed_range'), market, low, high);
  }
  const { rule, assumed } = ruleFor(bottle, market, high, today);
  const below = ruleFor(bottle, market, low, today).rule;
  const found = toRange(rule, market, Math.max(0, low - below.tolerance), high + rule.tolerance);
  found.assumed = [...assumed, 'printed_range'];
  if (market === 'US') found.errors.push('range_too_wide');
  return found;
}

/**
 * @param {LabelledBottle} bottle
 * @param {string | null} market
 */
function withoutNumber(bottle, market) {
  if (market === 'US' && productTypeOf(bottle)) {
    return toRange(ruleById('us_type_word'), market, data.us.type_low, data.us.type_high);
  }
  return toRange({ id: 'no_number', status: 'unknown' }, market, null, null);
}

/**
 * Compare a label's range with a preferred range in percent (both ends included, in either order).
 * A label without a range gives `may_stray`, so that a bottle is never dropped for missing data.
 * @param {Pick<LabelRange, 'low' | 'high' | 'low_exclusive'>} found
 * @param {{ low?: unknown, high?: unknown }} preferred
 * @returns {'inside' | 'may_stray' | 'outside'}
 */
export function rangePosition(found, preferred) {
  const one = toHundredths(preferred.low, 'low');
  const other = toHundredths(preferred.high, 'high');
  const reversed = one !== null && other !== null && one > other;
  const [low, high] = reversed ? [other, one] : [one, other];
  if (found.low === null || found.high === null) return 'may_stray';
  const tooWeak = low !== null && found.high < low;
  const tooStrong = high !== null && (found.low > high || (found.low_exclusive && found.low === high));
  if (tooWeak || tooStrong) return 'outside';
  const inside = (low === null || found.low >= low) && (high === null || found.high <= high);
  return inside ? 'inside' : 'may_stray';
}

/**
 * Tell where the printed number lies against a wanted range;
 * see `printed_position` in tests/reference/rules/label_position.py.
 * @param {Pick<LabelledBottle, 'label_abv' | 'label_abv_low' | 'label_abv_high'>} bottle
 * @param {Pick<LabelRange, 'low' | 'high' | 'low_exclusive'>} found
 * @param {{ low?: unknown, high?: unknown }} preferred
 * @returns {'inside' | 'may_stray' | 'outside'}
 */
export function printedPosition(bottle, found, preferred) {
  const lawful = rangePosition(found, preferred);
  const stated = toHundredths(bottle.label_abv, 'label_abv');
  const low = stated ?? toHundredths(bottle.label_abv_low, 'label_abv_low');
  const high = stated ?? toHundredths(bottle.label_abv_high, 'label_abv_high');
  if (low === null || high === null) return lawful;
  const position = rangePosition(
    { low: Math.min(low, high), high: Math.max(low, high), low_exclusive: false },
    preferred,
  );
  return position === 'inside' && lawful !== 'inside' ? 'may_stray' : position;
}

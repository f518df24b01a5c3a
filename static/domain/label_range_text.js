// Ranges of alcohol as text: the lawful one of a label, and one chosen on a slider.
import { abv, number } from '../lib/format.js';
import { t } from '../i18n.js';

/** @typedef {import('../rules/label/alcohol_rule.js').LabelRange} LabelRange */

/** @param {number} hundredths */
export function asPercent(hundredths) {
  return hundredths / 100;
}

/** @param {LabelRange} range */
export function rangeText(range) {
  if (range.low === null || range.high === null) return t('book.range_unknown');
  const low = number(asPercent(range.low), 2);
  const high = abv(asPercent(range.high));
  return t(range.low_exclusive ? 'book.range_above' : 'book.range', { low, high });
}

/** Tell whether the range is our assumption, because no law is known for it. @param {LabelRange} range */
export function isAssumed({ low, status }) {
  return low !== null && status === 'unknown';
}

/** Tell whether a known law gives the range without a guess at a fact. @param {LabelRange} range */
export function isByLaw(range) {
  return !isAssumed(range) && range.assumed.length === 0;
}

/** @param {LabelRange} range */
export function ruleText({ rule, market }) {
  return t(rule === 'unknown_market' && market === null ? 'book.rule_unsaid_market' : `book.rule_${rule}`);
}

/**
 * Name only the ends that limit something, because weaker wines than the slider's lower end and stronger ones than its
 * upper end belong to an open range.
 * @param {number | null} low null if open
 * @param {number | null} high null if open
 */
export function abvRangeText(low, high) {
  if (low !== null && high !== null) return t('settings.wanted_range', { low: abv(low), high: abv(high) });
  if (high !== null) return t('settings.wanted_to', { high: abv(high) });
  return low !== null ? t('settings.wanted_from', { low: abv(low) }) : t('settings.wanted_any');
}

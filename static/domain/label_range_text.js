// Lawful label range as text.
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

/** @param {LabelRange} range */
export function ruleText(range) {
  return t(`book.rule_${range.rule}`);
}

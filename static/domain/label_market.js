// Whose law a label is read by: the bottle's own, else that of where its owner mostly buys.
import { toleranceRange } from '../rules/label/label.js';

/** @typedef {import('../store/record.js').Fields} Fields */
/** @typedef {import('../rules/label/label_rule.js').LabelRange} LabelRange */

/**
 * The bottle with the market whose law is taken for its label.
 * @param {Fields} bottle
 * @param {string | null | undefined} market of the settings
 * @returns {Fields}
 */
export function underLaw(bottle, market) {
  return bottle['label_market'] || !market ? bottle : { ...bottle, label_market: market };
}

/**
 * What the label may lawfully mean; `assumed` tells where the market was taken from the settings.
 * @param {Fields} bottle
 * @param {string | null | undefined} market of the settings
 * @param {string} today
 * @returns {LabelRange}
 */
export function lawfulRange(bottle, market, today) {
  const range = toleranceRange(underLaw(bottle, market), today);
  return range.known && market && !bottle['label_market'] ? { ...range, assumed: ['market', ...range.assumed] } : range;
}

// Chooses the market whose label law applies: the bottle's, or the one in the settings.
import { toleranceRange } from '../rules/label/alcohol_range.js';

/** @typedef {import('../store/record.js').Fields} Fields */
/** @typedef {import('../rules/label/alcohol_rule.js').LabelRange} LabelRange */

/**
 * Return the bottle with the market that applies to its label.
 * @param {Fields} bottle
 * @param {string | null | undefined} market of the settings
 * @returns {Fields}
 */
export function withMarket(bottle, market) {
  return bottle['label_market'] || !market ? bottle : { ...bottle, label_market: market };
}

/**
 * Return the lawful range of the label's alcohol. `assumed` contains "market" if the market came
 * from the settings.
 * @param {Fields} bottle
 * @param {string | null | undefined} market of the settings
 * @param {string} today
 * @returns {LabelRange}
 */
export function lawfulRange(bottle, market, today) {
  const range = toleranceRange(withMarket(bottle, market), today);
  return range.known && market && !bottle['label_market'] ? { ...range, assumed: ['market', ...range.assumed] } : range;
}

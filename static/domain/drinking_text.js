// The years in which to drink a bottle at home, as text.
import { t } from '../i18n.js';
import { drinkingState, drinkingWindow } from '../rules/serving/drinking.js';

/** @typedef {import('../store/record.js').Row} Row */
/** @typedef {import('../rules/serving/drinking.js').Span} Span */

/** @returns {number} the present year by the phone's clock */
export const thisYear = () => new Date().getFullYear();

/**
 * @param {Row} stock
 * @param {Row | null} bottle
 */
export function drinkingOf(stock, bottle) {
  const window = drinkingWindow(stock.fields, bottle?.fields['covered'] ? {} : (bottle?.fields ?? {}));
  return { window, state: drinkingState(window, thisYear()) };
}

/** @param {Span} span @returns {string} empty without any year; years as text, so that they are not grouped */
export function spanText({ from, by }) {
  if (from !== null && by !== null) return from === by ? String(by) : `${from}\u2013${by}`;
  if (by !== null) return t('shelf.home_years_by', { by: String(by) });
  return from === null ? '' : t('shelf.home_years_from', { from: String(from) });
}

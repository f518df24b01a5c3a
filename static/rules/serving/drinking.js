/**
 * The years in which a bottle at home should be drunk: those that the taster set, else the usual span
 * of the style (common practice, static/spec/drinking.json).
 *
 * @typedef {{ from: number | null, by: number | null }} Span calendar years, both included
 * @typedef {Span & { basis: 'own' | 'usual' | 'none' }} DrinkingWindow
 * @typedef {'past' | 'soon' | 'ready' | 'early' | 'unknown'} DrinkingState
 */
import data from '../../spec/drinking.json' with { type: 'json' };

/** Sections of the list, the most urgent first. */
export const STATES = /** @type {const} */ (['past', 'soon', 'ready', 'early', 'unknown']);

/** @type {Span} */
const UNKNOWN = { from: null, by: null };

/**
 * Return the usual span of the bottle's style, counted from the harvest, or from the purchase where
 * the label has no vintage or the style is ready when it is sold.
 * @param {{ style?: string | null, vintage?: number | null }} bottle
 * @param {string | null | undefined} since the date of the purchase
 * @returns {Span}
 */
export function usualSpan({ style, vintage }, since) {
  const bought = since ? Number(since.slice(0, 4)) : null;
  const stored = data.after_purchase.find(({ styles }) => styles.includes(style ?? ''));
  if (stored) return bought === null ? UNKNOWN : { from: bought, by: bought + stored.by_years };
  const aged = data.after_harvest.find(({ styles }) => styles.includes(style ?? ''));
  if (!aged) return UNKNOWN;
  if (typeof vintage === 'number') return { from: vintage + aged.from_years, by: vintage + aged.by_years };
  return bought === null ? UNKNOWN : { from: bought, by: bought + aged.bought_years };
}

/**
 * Tell whether both years are known and the first is after the last, as two phones may have left them.
 * @param {Span} span
 */
export function isReversed({ from, by }) {
  return from !== null && by !== null && from > by;
}

/**
 * Choose the taster's years; the usual span completes a single one if it agrees. Reversed years count
 * as not entered.
 * @param {{ drink_from?: number | null, drink_by?: number | null, since?: string | null }} stock
 * @param {{ style?: string | null, vintage?: number | null }} bottle
 * @returns {DrinkingWindow}
 */
export function drinkingWindow({ drink_from: from = null, drink_by: by = null, since }, bottle) {
  const usual = usualSpan(bottle, since);
  const entered = from !== null || by !== null;
  if (!entered || isReversed({ from, by })) return { ...usual, basis: usual.by === null ? 'none' : 'usual' };
  const completed = { from: from ?? usual.from, by: by ?? usual.by };
  return { ...(isReversed(completed) ? { from, by } : completed), basis: 'own' };
}

/**
 * @param {Span} span
 * @param {number} year the present one
 * @returns {DrinkingState} `soon`: the last year or the one before it
 */
export function drinkingState({ from, by }, year) {
  if (from === null && by === null) return 'unknown';
  if (by !== null && year > by) return 'past';
  if (from !== null && year < from) return 'early';
  return by !== null && by - year <= data.soon_years ? 'soon' : 'ready';
}

/**
 * Compare two bottles: the state first, then the last year, then the first.
 * @param {{ window: Span, state: DrinkingState }} a
 * @param {{ window: Span, state: DrinkingState }} b
 */
export function byUrgency(a, b) {
  const edge = (/** @type {number | null} */ year) => year ?? Infinity;
  const difference = (/** @type {number} */ one, /** @type {number} */ other) => (one === other ? 0 : one - other);
  return (
    STATES.indexOf(a.state) - STATES.indexOf(b.state) ||
    (a.state === 'early' ? difference(edge(a.window.from), edge(b.window.from)) : 0) ||
    difference(edge(a.window.by), edge(b.window.by)) ||
    difference(edge(a.window.from), edge(b.window.from))
  );
}

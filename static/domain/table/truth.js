// What guesses are judged by: the facts of a bottle that guests may be asked to guess.
import { styleOf } from '../style_names.js';

/** @typedef {Record<string, any>} Fields */
/** @typedef {'abv' | 'vintage' | 'style' | 'grape'} Truth */

/** @type {Truth[]} */
export const TRUTHS = ['abv', 'vintage', 'style', 'grape'];

/**
 * @param {Fields} bottle
 * @returns {Truth[]} what its guesses cannot be judged by
 */
export function missingTruths(bottle) {
  const { label_abv: abv, vintage, style, grapes } = judgedLabel(bottle);
  const has = {
    abv: Boolean(abv),
    vintage: Boolean(vintage || bottle['non_vintage']),
    style: Boolean(style),
    grape: Boolean(grapes),
  };
  return TRUTHS.filter((truth) => !has[truth]);
}

/**
 * The label as guesses are judged by it: a style stands for its grapes, and a printed range for its middle.
 * @param {Fields} bottle
 * @returns {Fields}
 */
export function judgedLabel(bottle) {
  const { label_abv: abv, label_abv_low: low, label_abv_high: high, grapes, style } = bottle;
  const hasRange = typeof low === 'number' && typeof high === 'number';
  return {
    ...bottle,
    label_abv: abv ?? (hasRange ? (low + high) / 2 : null),
    grapes: grapes || styleOf(style)?.grapes.join(', ') || null,
  };
}

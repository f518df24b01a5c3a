// What guesses are judged by: the facts of a bottle that guests may be asked to guess.
import { middleAbv } from '../bottle/abv.js';
import { grapesOf, styleOf } from '../style_names.js';

/** @typedef {Record<string, any>} Fields */
/** @typedef {'abv' | 'vintage' | 'style' | 'grape'} Truth */

/** @type {Truth[]} */
export const TRUTHS = ['abv', 'vintage', 'style', 'grape'];

/**
 * @param {Fields} bottle
 * @returns {Truth[]} what its guesses cannot be judged by
 */
export function missingTruths(bottle) {
  const { label_abv: abv, vintage, style, grapes, style_grapes: ofStyle } = judgedLabel(bottle);
  const has = {
    abv: Boolean(abv),
    vintage: Boolean(vintage || bottle['non_vintage']),
    style: Boolean(style),
    grape: Boolean(grapes || ofStyle),
  };
  return TRUTHS.filter((truth) => !has[truth]);
}

/**
 * Return the label as guesses are judged by it: a style of one grape stands for it, and a printed range for its middle.
 * @param {Fields} bottle
 * @returns {Fields} style_grapes: what a wine of the style may be made of, if no grape was noted
 */
export function judgedLabel(bottle) {
  const { grapes, style } = bottle;
  const ofStyle = grapesOf(styleOf(style));
  return {
    ...bottle,
    label_abv: middleAbv(bottle),
    grapes: grapes || (ofStyle.length === 1 ? ofStyle[0] : null),
    style_grapes: grapes ? null : ofStyle.join(', ') || null,
  };
}

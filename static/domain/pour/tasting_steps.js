// The seven steps of a tasting in order, with their fields. `note` is the quick note before them.

import { AROMA_FIELDS, SIP_FIELDS } from '../../rules/tasting/aroma_fields.js';
import { GUESS_FIELDS } from '../fields.js';

const [FIRST_NOSE, SECOND_NOSE] = AROMA_FIELDS;

/** @typedef {{ tasting: string[], bottle: string[] }} Asked */

/** @type {Record<string, Asked>} */
export const stepFields = {
  bottle: {
    bottle: [
      'name',
      'producer',
      'vintage',
      'non_vintage',
      'style',
      'grapes',
      'region',
      'country',
      'colour',
      'kind',
      'label_abv',
      'label_abv_low',
      'label_abv_high',
      'label_market',
      'label_words',
      'protected_origin',
      'residual_sugar_gl',
      'total_acidity_gl',
      'closure',
      'volume_ml',
      'gtin',
      'words',
    ],
    tasting: ['serving_c', 'flight_mark', 'label_hidden'],
  },
  look: {
    bottle: [],
    tasting: ['look_colour', 'look_hue', 'look_depth', 'look_rim', 'look_gradation', 'look_clarity', 'look_bubbles'],
  },
  first_nose: { bottle: [], tasting: [FIRST_NOSE, 'intensity', 'just_right_intensity'] },
  second_nose: { bottle: [], tasting: [SECOND_NOSE, 'fruit_state', 'oak', 'just_right_oak'] },
  sips: {
    bottle: [],
    tasting: [
      'sweetness',
      'acidity',
      'tannin',
      'tannin_texture',
      'bitterness',
      'body',
      'warmth',
      'just_right_sweetness',
      'just_right_acidity',
      'just_right_tannin',
      'just_right_body',
      'just_right_warmth',
      'warmth_where',
      ...SIP_FIELDS,
    ],
  },
  whole: { bottle: [], tasting: ['spat', 'balance', 'standout', 'complexity', 'finish_s', 'faults', 'fault_counts'] },
  verdict: {
    bottle: [],
    tasting: ['liking', 'would_buy', 'with_whom', 'with_food', 'words', 'pour_ml', 'swallowed_ml', ...GUESS_FIELDS],
  },
};

/** Fields that the app fills in, or that say nothing of the wine: they do not make a step an answered one. */
const NO_ANSWERS = new Set(['spat', 'pour_ml', 'swallowed_ml', 'label_hidden']);

export const steps = Object.keys(stepFields);

/**
 * @param {string | undefined} slug from the route
 * @returns {string} a step, or `evidence` or `note`
 */
export function parseStep(slug) {
  const name = (slug ?? '').replace('-', '_');
  return Object.hasOwn(stepFields, name) || name === 'evidence' ? name : 'note';
}

/**
 * @param {string} step
 * @returns {string | null} the next step
 */
export function nextStep(step) {
  return steps[steps.indexOf(step) + 1] ?? null;
}

/**
 * Tell whether a field of the step has a value.
 * @param {string} step
 * @param {{ tasting: Record<string, unknown>, bottle: Record<string, unknown> }} fields
 */
export function hasAnswers(step, fields) {
  const questions = stepFields[step];
  if (!questions) return false;
  const hasAny = (/** @type {Record<string, unknown>} */ values, /** @type {string[]} */ names) =>
    names.some((name) => !NO_ANSWERS.has(name) && values[name] !== null && values[name] !== undefined);
  return hasAny(fields.tasting, questions.tasting) || hasAny(fields.bottle, questions.bottle);
}

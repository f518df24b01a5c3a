// Palates and records for tests of the Shelf.
import { FIXED_POINT } from '../../static/rules/palate/score.js';

/**
 * Likes strength by `slope` points for each per cent over five, and body, if the printed strength leaves a `spread`;
 * nothing else moves the score. `noise`: of the taster's own scales.
 */
export function taster({ intercept = 5, slope = 0, noise_var = 1, spread = 0, noise = 1 } = {}) {
  return {
    attributes: ['body'],
    beta: [intercept * FIXED_POINT, slope * FIXED_POINT, 0],
    cov: [0, 0, 0, 0, 0, 0],
    profiles: { plain: [0, 0, 0] },
    style_effects: { plain: [0, 0, 0, 0, 0] },
    group_effects: {},
    stranger_var: 0,
    noise_var,
    liked_line: 6.5,
    centre: [5],
    scale: [1],
    perception: { noise, bias: [0], gain: [1], bias_var: [0], cross: [0], gain_var: [0] },
    printed: { index: 0, at_zero: 0, per_unit: 1, low: -1000, high: 1000, spread },
  };
}

/** @param {string} kind @param {string} id @param {Record<string, any>} fields @returns {any} */
export const row = (kind, id, fields) => ({
  kind,
  id,
  fields,
  clocks: {},
  deleted: false,
  deleted_clock: null,
  gone: 0,
});

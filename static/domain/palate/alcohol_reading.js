// What the liked alcohol of a palate means in words.
import { confidenceText } from './text.js';

/** @typedef {import('./document.js').Alcohol} Alcohol */

/** Bounds of the learner's axis of label alcohol. */
export const ABV_LINE = { min: 5, max: 20 };
const EDGE = 0.05;
/** Most wines are within these; a range that takes in nearly all of them prefers nothing. */
const USUAL = { min: 8, max: 16 };
const ANY_WIDTH = 6;

/**
 * Tell which ends of the range mean something, and how sure those are.
 * @param {Alcohol} alcohol
 * @returns {{ kind: 'unknown' | 'any' | 'up_to' | 'from' | 'range', sure: string }}
 */
export function alcoholReading({ known, low_abv, high_abv, low_between_abv, high_between_abv }) {
  if (!known) return { kind: 'unknown', sure: '' };
  if (Math.min(high_abv, USUAL.max) - Math.max(low_abv, USUAL.min) > ANY_WIDTH) return { kind: 'any', sure: '' };
  const lowWidth = low_between_abv[1] - low_between_abv[0];
  const highWidth = high_between_abv[1] - high_between_abv[0];
  const within = (/** @type {number} */ width) => confidenceText(0, width, ABV_LINE.max - ABV_LINE.min);
  if (low_abv <= ABV_LINE.min + EDGE) return { kind: 'up_to', sure: within(highWidth) };
  if (high_abv >= ABV_LINE.max - EDGE) return { kind: 'from', sure: within(lowWidth) };
  return { kind: 'range', sure: within((lowWidth + highWidth) / 2) };
}

// The text of a p-value.
import { number } from '../lib/format.js';

const LEAST_P = 0.001;

/** @param {number} p @param {string} [equals] stands before a value that is not below the least */
export function pText(p, equals = '') {
  return p < LEAST_P ? `< ${number(LEAST_P, 3)}` : `${equals}${number(p, 3)}`;
}

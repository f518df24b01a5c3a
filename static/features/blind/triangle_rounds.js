// A round of a triangle test: two glasses of one wine and one of the other, all six orders equally
// likely.
import { randomInt } from '../../domain/blind/shuffle.js';

/**
 * @typedef {{ odd: number, odd_wine: number, answer: number | null }} Round odd: position 0..2 of
 *   the single glass; odd_wine: its wine
 */

export const GLASSES_PER_ROUND = 3;

/** @param {(below: number) => number} [random] @returns {Round} */
export function drawRound(random = randomInt) {
  return { odd: random(GLASSES_PER_ROUND), odd_wine: random(2), answer: null };
}

/**
 * @param {Round} round
 * @returns {number[]} the wine of each glass, 0 or 1
 */
export function winesOf({ odd, odd_wine }) {
  return Array.from({ length: GLASSES_PER_ROUND }, (_, place) => (place === odd ? odd_wine : 1 - odd_wine));
}

/** @param {Round[]} rounds */
export function scoreOf(rounds) {
  const answered = rounds.filter((round) => round.answer !== null);
  return { trials: answered.length, correct: answered.filter((round) => round.answer === round.odd).length };
}

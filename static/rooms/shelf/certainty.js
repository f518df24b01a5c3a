// How likely, how well known and why, in words.
import { hasWords, t } from '../../words.js';
import { number } from '../../formats.js';
import { reasonSentences } from '../palate/sentences.js';

/** @typedef {import('./rows.js').Score} Score */

const CHANCES = /** @type {const} */ ([[0.85, 'surely'], [0.65, 'probably'], [0.45, 'even'], [0.25, 'rather_not']]);
// Standard deviation of the expected liking itself, in points of 1-9, without the noise of the day.
const KNOWN = /** @type {const} */ ([[0.5, 'well'], [0.9, 'fairly']]);
const LEAST = 1;
const MOST = 9;

/** @param {Score} score */
export function chanceWord({ p_like }) {
  return t(`shelf.chance_${CHANCES.find(([least]) => p_like >= least)?.[1] ?? 'hardly'}`);
}

/** @param {Score} score @param {number} noiseVar how much the same bottle differs from day to day */
export function knownWord({ sd }, noiseVar) {
  const own = Math.sqrt(Math.max(0, sd * sd - noiseVar));
  return t(`shelf.known_${KNOWN.find(([most]) => own <= most)?.[1] ?? 'little'}`);
}

/** @param {Score} score */
export function reasonsSaid({ reasons }) {
  return reasonSentences(reasons.filter((reason) => reason.what === 'style' || hasWords(`palate.reason.${reason.what === 'alcohol' ? 'alcohol' : reason.name}.${reason.level}`)));
}

/** @param {Score} score the expected liking as a whole point of the scale, held within it */
export function expectedPoint({ mean }) {
  return Math.min(MOST, Math.max(LEAST, Math.round(mean)));
}

/** @param {Score} score */
export function expectedSaid(score) {
  return t('shelf.expected', { figure: number(score.mean), liking: t(`liking.${expectedPoint(score)}`) });
}

/** @param {Score} score @returns {[number, number]} where two times in three the liking would lie */
export function usualSpan({ mean, sd }) {
  return [Math.max(LEAST, mean - sd), Math.min(MOST, mean + sd)];
}

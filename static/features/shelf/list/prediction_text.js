// Texts for a prediction: likelihood, confidence, reasons.
import { t } from '../../../i18n.js';
import { list, number } from '../../../lib/format.js';
import { knownReasons, reasonSentences, reasonText } from '../../../domain/palate/text.js';

/** @typedef {import('./shelf_rows.js').Score} Score */

/** @typedef {Score['reasons'][number]} Reason */
/** @typedef {import('../../../domain/palate/document.js').Target} Target */

// Number of liked bottles in ten, from which the text applies.
const CHANCES = /** @type {const} */ ([
  [9, 'surely'],
  [7, 'probably'],
]);
/**
 * Below these, the expected liking of 1-9 selects the text: a wide spread makes being liked likelier where little is
 * expected, so the chance would praise a worse bottle more.
 */
const BY_LIKING = /** @type {const} */ ([
  [7, 'even'],
  [6, 'mild'],
  [5, 'so_so'],
  [4, 'rather_not'],
]);
/** What is said in place of a firm text where little is known. */
const UNSURE = /** @type {Record<string, string>} */ ({ surely: 'probably', hardly: 'rather_not' });
const MIN_FOR = 7;
const MAX_AGAINST = 4;
// Standard deviation of the expected liking in points of 1-9, without day-to-day noise.
const KNOWN = /** @type {const} */ ([
  [0.5, 'well'],
  [0.9, 'fairly'],
]);
const MIN_SCORE = 1;
const MAX_SCORE = 9;

/** @param {Pick<Score, 'p_like'>} score the rounded number is shown and selects the text */
export function likedOfTen({ p_like }) {
  return Math.round(p_like * 10);
}

/**
 * Say how likely it is to be liked, in agreement with the number beside it and with the confidence.
 * @param {Pick<Score, 'p_like' | 'mean' | 'sd'>} score
 * @param {number} noiseVar variance of liking between days
 * @param {boolean} [isYoung]
 */
export function likelihoodText(score, noiseVar, isYoung = false) {
  const chance = chanceOf(score);
  const unsure = confidence(score, noiseVar, isYoung) === 'little' && UNSURE[chance];
  return t(`shelf.chance_${unsure || chance}`);
}

/**
 * Return a sentence on the confidence, or an empty text beside a likelihood that says itself that nothing is sure.
 * @param {Pick<Score, 'p_like' | 'mean' | 'sd'>} score
 * @param {number} noiseVar variance of liking between days
 * @param {boolean} [isYoung]
 */
export function surenessText(score, noiseVar, isYoung = false) {
  const known = confidenceText(score, noiseVar, isYoung);
  return chanceOf(score) === 'even' ? '' : t('shelf.known_said', { known });
}

/** @param {Pick<Score, 'p_like' | 'mean'>} score */
function chanceOf(score) {
  const [tenths, liking] = [likedOfTen(score), expectedScore(score)];
  const found = CHANCES.find(([min]) => tenths >= min) ?? BY_LIKING.find(([min]) => liking >= min);
  return found?.[1] ?? 'hardly';
}

/**
 * @param {Pick<Score, 'sd'>} score
 * @param {number} noiseVar variance of liking between days
 * @param {boolean} [isYoung] few wines were rated: nothing is sure yet
 */
export function confidenceText(score, noiseVar, isYoung = false) {
  return t(`shelf.known_${confidence(score, noiseVar, isYoung)}`);
}

/** @param {Pick<Score, 'sd'>} score @param {number} noiseVar @param {boolean} isYoung */
function confidence({ sd }, noiseVar, isYoung) {
  const own = Math.sqrt(Math.max(0, sd * sd - noiseVar));
  return (!isYoung && KNOWN.find(([max]) => own <= max)?.[1]) || 'little';
}

/**
 * Return the reasons that agree with the prediction first, then the others, marked as such.
 * @param {Score} score
 * @param {boolean} [isYoung]
 * @param {Target[]} [targets] what the same person likes
 * @param {{ known: boolean } | null} [alcohol] the alcohol that the same person likes
 */
export function reasonsText(score, isYoung = false, targets = [], alcohol = null) {
  const known = knownReasons(score.reasons, { targets, isYoung, alcohol });
  const direction = directionOf(score);
  if (direction === null) return reasonSentences(known, targets);
  const against = known.filter((reason) => reason.direction !== direction);
  const exceptKey = direction === 'raises' ? 'shelf.still_against' : 'shelf.still_for';
  return [
    ...reasonSentences(
      known.filter((reason) => reason.direction === direction),
      targets,
    ),
    ...(against.length ? [t(exceptKey, { reasons: list(against.map((reason) => reasonText(reason, targets))) })] : []),
  ];
}

/**
 * Return one sentence that agrees with the prediction, or an empty text.
 * @param {Score} score
 * @param {boolean} [isYoung]
 * @param {Target[]} [targets] what the same person likes
 * @param {{ known: boolean } | null} [alcohol] the alcohol that the same person likes
 */
export function topReason(score, isYoung = false, targets = [], alcohol = null) {
  const known = knownReasons(score.reasons, { targets, isYoung, alcohol });
  const direction = directionOf(score) ?? known[0]?.direction;
  const agreeing = known.filter((reason) => reason.direction === direction);
  return reasonSentences(agreeing, targets)[0] ?? '';
}

/** @param {Pick<Score, 'p_like' | 'mean'>} score @returns {Reason['direction'] | null} */
function directionOf(score) {
  const tenths = likedOfTen(score);
  if (tenths >= MIN_FOR) return 'raises';
  return expectedScore(score) <= MAX_AGAINST ? 'lowers' : null;
}

/** @param {Pick<Score, 'mean'>} score rounded as shown, then to a whole point, within the scale */
export function expectedScore({ mean }) {
  return Math.min(MAX_SCORE, Math.max(MIN_SCORE, Math.round(Math.round(mean * 10) / 10)));
}

/** @param {Score} score */
export function expectedText(score) {
  return t('shelf.expected', { figure: number(score.mean), liking: t(`liking.${expectedScore(score)}`) });
}

/**
 * @param {Score} score
 * @returns {[number, number]} 68 % interval of the liking
 */
export function interval68({ mean, sd }) {
  return [Math.max(MIN_SCORE, mean - sd), Math.min(MAX_SCORE, mean + sd)];
}

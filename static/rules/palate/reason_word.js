// Selects the word of a reason so that it never contradicts the ideal point of the same attribute.

/** @typedef {Pick<import('./score.js').Reason, 'what' | 'direction' | 'level'> & { value?: number | null }} Reason */
/** @typedef {{ target: number | null, shape: 'peak' | 'more' | 'less' | 'unknown' }} IdealPoint */

const LEVEL_ENDS = [2, 4, 6, 8];
const HIGH = 3;
const LOW = 1;
/** Points of the scale within which a wine that is called otherwise is close to the ideal point. */
const NEAR = 1;
/** Points of the scale within which a wine is at the ideal point, so it has its word and is neither above nor below. */
const SAME = 0.5;

/** @param {number} value on a scale of 0-10 @returns {number} its level 0-4 */
export function levelOf(value) {
  return LEVEL_ENDS.filter((end) => value >= end).length;
}

/**
 * @param {Reason} reason
 * @param {IdealPoint} [ideal] of the same attribute; without it, or if it is unknown, the wine's own level is the word
 * @returns {string | null} level 0-4 of an attribute, 'high', 'usual' or 'low' of alcohol, 'near', 'less' or 'more'
 *   than liked; null if every word would contradict the ideal point
 */
export function reasonWord({ what, direction, level, value }, ideal) {
  const isAlcohol = what === 'alcohol';
  if (typeof value !== 'number') return isAlcohol ? level : null;
  const own = isAlcohol ? level : String(levelOf(value));
  if (!ideal || ideal.target === null || ideal.shape === 'unknown') return own;
  const distance = value - ideal.target;
  const isPeak = ideal.shape === 'peak';
  if (direction === 'raises') {
    if (isAlcohol || isLikedLevel(levelOf(value), ideal.target, ideal.shape)) return own;
    if (isPeak && Math.abs(distance) < SAME) return String(levelOf(ideal.target));
    return isPeak && Math.abs(distance) <= NEAR ? 'near' : null;
  }
  const isThere = isPeak ? Math.abs(distance) < SAME : isLikedLevel(levelOf(value), ideal.target, ideal.shape);
  if (isThere) return null;
  return distance > 0 ? 'more' : 'less';
}

/** @param {number} level @param {number} target @param {IdealPoint['shape']} shape */
function isLikedLevel(level, target, shape) {
  if (shape === 'more') return level >= HIGH;
  if (shape === 'less') return level <= LOW;
  return level === levelOf(target);
}

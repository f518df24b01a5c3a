// Texts for the palate's numbers: level, confidence, importance.
import { list, number } from '../../lib/format.js';
import { locale, t } from '../../i18n.js';

/** @typedef {import('./document.js').Target} Target */
/** @typedef {import('./document.js').Reason} Reason */

const LINE = 10;
const LEVEL_ENDS = [2, 4, 6, 8];
// Widths of an 80 % interval as a share of the scale: above the first is a first guess, below the
// last is certain.
const SURE_WIDTHS = /** @type {const} */ ([0.45, 0.3, 0.18]);
// Thresholds in points of liking per typical difference of the attribute.
const MATTERS_POINTS = [0.35, 0.7];
const LIKED = 7;
const NAMED = 3;
const WORST = 1;
const BEST = 9;

/**
 * Tell whether the liking counts as liked, rounded as shown, so that a displayed 7.0 is liked.
 * @param {number} liking 1-9
 */
export const isLiked = (liking) => Math.round(liking * 10) / 10 >= LIKED;

/**
 * @param {number} liking 1-9
 * @returns {number} the liking scaled to 0-1
 */
export const likingFraction = (liking) => (liking - WORST) / (BEST - WORST);

/** @param {number} value on a scale of 0-10 */
export function levelText(value) {
  return t(`palate.level.${LEVEL_ENDS.filter((end) => value >= end).length}`);
}

/**
 * @param {number} low
 * @param {number} high
 * @param {number} scale length of the scale
 */
export function confidenceText(low, high, scale) {
  const share = (high - low) / scale;
  return t(`palate.sure.${SURE_WIDTHS.filter((width) => share <= width).length}`);
}

/** @param {number} weight points of liking */
export function importanceText(weight) {
  return t(`palate.matters.${MATTERS_POINTS.filter((points) => weight >= points).length}`);
}

/**
 * Return the attributes whose ideal point is known, and those whose is not.
 * @param {Target[]} targets
 */
export function knownAndUnknown(targets) {
  const names = (/** @type {Target[]} */ some) => some.map(({ attribute }) => t(`palate.of.${attribute}`));
  const sure = (/** @type {Target} */ { low, high }) => high - low <= SURE_WIDTHS[1] * LINE;
  return {
    known: names(
      targets
        .filter((target) => target.shape !== 'unknown' && sure(target))
        .sort((a, b) => b.weight - a.weight)
        .slice(0, NAMED),
    ),
    open: names(targets.filter((target) => target.shape === 'unknown')),
  };
}

/** @param {Target} target */
export function targetSentence({ attribute, target, low, high, shape }) {
  const name = t(`palate.of.${attribute}`);
  const sure = confidenceText(low, high, LINE);
  if (shape === 'peak' && target !== null)
    return t('palate.target_peak', { name, level: levelText(target), target: number(target), sure });
  if (shape === 'more' || shape === 'less') return t(`palate.target_${shape}`, { name, sure });
  return t('palate.target_unknown', { name: t(`scale.${attribute}`) });
}

/** @param {Reason} reason */
export function reasonText({ what, name, level, direction }) {
  if (what === 'style') return t(`palate.reason.style.${direction}`);
  return t(`palate.reason.${what === 'alcohol' ? 'alcohol' : name}.${level}`);
}

/** Return the reasons for and against, a sentence each. @param {Reason[]} reasons */
export function reasonSentences(reasons) {
  const side = (/** @type {string} */ direction) =>
    reasons.filter((reason) => reason.direction === direction).map(reasonText);
  return [
    ['raises', 'palate.for'],
    ['lowers', 'palate.against'],
  ].flatMap(([direction = '', key = '']) => {
    const texts = side(direction);
    return texts.length ? [t(key, { reasons: list(texts) })] : [];
  });
}

/** Format a number with one decimal. @param {number} value */
export function formatScore(value) {
  return new Intl.NumberFormat(locale(), { minimumFractionDigits: 1, maximumFractionDigits: 1 }).format(value);
}

/** @param {number} points may be negative */
export function formatSigned(points) {
  return `${points < 0 ? '\u2212' : '+'}${formatScore(Math.abs(points))}`;
}

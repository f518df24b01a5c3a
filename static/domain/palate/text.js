// Texts for the palate's numbers: level, confidence, importance.
import { list, percent } from '../../lib/format.js';
import { hasMessage, locale, t } from '../../i18n.js';
import { levelOf, reasonWord } from '../../rules/palate/reason_word.js';

/** @typedef {import('./document.js').Target} Target */
/** @typedef {import('./document.js').Reason} Reason */

const LINE = 10;
// Widths of an 80 % interval as a share of the scale: above the first is a first guess, below the
// last is certain.
const SURE_WIDTHS = /** @type {const} */ ([0.45, 0.3, 0.18]);
/** Among simulated tasters the best point really is at the end that is named in two cases of three. */
const MAX_SURE_OF_AN_END = 2;
// Thresholds in points of liking per typical difference of the attribute.
const MATTERS_POINTS = [0.35, 0.7];
const LIKED = 7;
const NAMED = 3;
const WORST = 1;
const BEST = 9;
/** No forecast is a certainty, so neither 0 nor 100 % is shown. */
const CHANCES = { low: 0.01, high: 0.99 };

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
  return t(`palate.level.${levelOf(value)}`);
}

/**
 * @param {number} low
 * @param {number} high
 * @param {number} scale length of the scale
 * @param {number} [most] of the words, the one that is allowed at most
 */
export function confidenceText(low, high, scale, most = SURE_WIDTHS.length) {
  const share = (high - low) / scale;
  return t(`palate.sure.${Math.min(most, SURE_WIDTHS.filter((width) => share <= width).length)}`);
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

/** Say how sure an ideal point is. @param {Pick<Target, 'low' | 'high' | 'shape'>} target */
export function sureText({ low, high, shape }) {
  return confidenceText(low, high, LINE, shape === 'peak' ? undefined : MAX_SURE_OF_AN_END);
}

/** @param {Target} target */
export function targetSentence({ attribute, target, low, high, shape }) {
  const name = t(`palate.of.${attribute}`);
  const sure = sureText({ low, high, shape });
  if (shape === 'peak' && target !== null)
    return t('palate.target_peak', { amount: t(`palate.reason.${attribute}.${levelOf(target)}`), sure });
  if (shape === 'more' || shape === 'less') return t(`palate.target_${shape}`, { name, sure });
  return t('palate.target_unknown', { name: t(`scale.${attribute}`) });
}

/**
 * Say a reason in the words of the ideal points.
 * @param {Reason} reason
 * @param {Target[]} [targets] the ideal points of the same person; without them the wine's own level is said
 * @returns {string} empty if there is no word for it
 */
export function reasonText(reason, targets = []) {
  const { what, name, direction } = reason;
  if (what === 'style') return t(`palate.reason.style.${direction}`);
  const word = reasonWord(reason, idealOf(reason, targets));
  const key = `palate.reason.${what === 'alcohol' ? 'alcohol' : name}.${word}`;
  return word !== null && hasMessage(key) ? t(key) : '';
}

/** @param {Reason} reason @param {Target[]} targets */
export function idealOf({ name }, targets) {
  return targets.find(({ attribute }) => attribute === name);
}

/**
 * Leave out what a style not tasted yet is said to add, because that comes from related styles only.
 * @template {Reason} One
 * @param {One[]} reasons
 * @param {(style: string) => boolean} isTasted
 */
export function aboutTasted(reasons, isTasted) {
  return reasons.filter(({ what, name }) => what !== 'style' || isTasted(name));
}

/**
 * Leave out the reasons that the Palate contradicts, or says are not known yet.
 * @template {Reason} One
 * @param {One[]} reasons
 * @param {object} said
 * @param {Target[]} [said.targets]
 * @param {boolean} [said.isYoung] after few ratings, nobody can be said to tend to like a kind of wine
 * @param {{ known: boolean } | null} [said.alcohol] the alcohol that is liked
 * @returns {One[]}
 */
export function knownReasons(reasons, { targets = [], isYoung = false, alcohol = null }) {
  const unknown = targets.filter(({ shape }) => shape === 'unknown').map(({ attribute }) => attribute);
  return reasons.filter((reason) => {
    if (reason.what === 'style') return !isYoung;
    if (unknown.includes(reason.name) || (reason.what === 'alcohol' && alcohol?.known === false)) return false;
    return reasonText(reason, targets) !== '';
  });
}

/** Return the reasons for and against, a sentence each. @param {Reason[]} reasons @param {Target[]} [targets] */
export function reasonSentences(reasons, targets) {
  const side = (/** @type {string} */ direction) =>
    reasons
      .filter((reason) => reason.direction === direction)
      .map((reason) => reasonText(reason, targets))
      .filter(Boolean);
  return [
    ['raises', 'palate.for'],
    ['lowers', 'palate.against'],
  ].flatMap(([direction = '', key = '']) => {
    const texts = side(direction);
    return texts.length ? [t(key, { reasons: list(texts) })] : [];
  });
}

/** @param {number} chance from 0 to 1 */
export function formatChance(chance) {
  return percent(Math.min(CHANCES.high, Math.max(CHANCES.low, chance)));
}

/** Format a number with one decimal. @param {number} value */
export function formatScore(value) {
  return new Intl.NumberFormat(locale(), { minimumFractionDigits: 1, maximumFractionDigits: 1 }).format(value);
}

/** @param {number} points may be negative */
export function formatSigned(points) {
  return `${points < 0 ? '\u2212' : '+'}${formatScore(Math.abs(points))}`;
}

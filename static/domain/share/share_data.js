// What is shared of a tasting and of a visit: the wines with all that was noted on them, but no
// place, company, amounts or other personal data.
import { t } from '../../i18n.js';
import { date } from '../../lib/format.js';
import { localDateTime } from '../../lib/datetime.js';
import { bottleName, labelAbv, pourName, resolveBottle } from '../bottle_names.js';
import { isLabelHidden } from '../blind/glasses.js';
import { styleName } from '../style_names.js';
import { isBlank, MIDDLE_STEPS, stepParts } from '../tasting/step_parts.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {import('../tasting/step_parts.js').StepParts} StepParts */
/**
 * @typedef {{ title: string, lines: string[], liking: string, words: string, steps: StepParts[] }} SharedTasting
 *   the first step is the verdict
 * @typedef {{ title: string, lines: string[], tastings: SharedTasting[] }} SharedVisit
 */

const PRIVATE = ['with_whom', 'flight_mark', 'label_hidden'];
const LONG_DAY = /** @type {const} */ ({ day: 'numeric', month: 'long', year: 'numeric' });

/**
 * @param {Row} tasting
 * @param {Row | null} bottle
 * @param {Fields} units the settings
 * @returns {SharedTasting}
 */
export function tastingShare(tasting, bottle, units) {
  const at = tasting.fields['tasted_at'];
  const shared = shareOf(bottleName(bottle), tasting.fields, bottle, units);
  return { ...shared, lines: [...shared.lines, at ? date(localDateTime(at), LONG_DAY) : ''].filter(Boolean) };
}

/**
 * @param {Fields} visit
 * @param {Row[]} pours in their order
 * @param {Map<string, Row>} bottles
 * @param {Fields} units the settings
 * @returns {SharedVisit}
 */
export function visitShare({ name, place, on }, pours, bottles, units) {
  const named = name && name !== place;
  return {
    title: named ? name : t('pour.visit_unnamed', { on: on ? date(on) : '' }),
    lines: [named && on ? date(on, LONG_DAY) : '', t('evening.pours', { count: pours.length })].filter(Boolean),
    tastings: pours.map((pour) => {
      const bottle = isLabelHidden(pour) ? null : resolveBottle(bottles, pour.fields['bottle']);
      return shareOf(pourName(pour, bottles), pour.fields, bottle, units);
    }),
  };
}

/** @param {string} title @param {Fields} fields @param {Row | null} bottle @param {Fields} units */
function shareOf(title, fields, bottle, units) {
  const { producer, style, region } = bottle?.fields['covered'] ? {} : (bottle?.fields ?? {});
  const about = [producer, styleName(style), region, bottle?.fields['covered'] ? '' : labelAbv(bottle)];
  return {
    title,
    lines: [about.filter(Boolean).join(' \u00b7 ')].filter(Boolean),
    liking: fields['liking']
      ? t('book.share_liking', { figure: fields['liking'], liking: t(`liking.${fields['liking']}`) })
      : '',
    words: fields['words'] ?? '',
    steps: ['verdict', 'bottle', ...MIDDLE_STEPS, 'guesses']
      .map((step) => withoutPrivate(stepParts(step, fields, units)))
      .filter((parts) => !isBlank(parts)),
  };
}

/** @param {StepParts} parts @returns {StepParts} */
function withoutPrivate(parts) {
  return { ...parts, facts: parts.facts.filter(({ field }) => !PRIVATE.includes(field)) };
}

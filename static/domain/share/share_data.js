// What is shared of a tasting and of a visit: all that their pages show, but for what LEFT_OUT names. What
// the app computes from it (readings, lawful alcohol, drinks) stays out, because the taster did not say it.
import { t } from '../../i18n.js';
import { date } from '../../lib/format.js';
import { localDateTime } from '../../lib/datetime.js';
import { bottleFacts } from '../bottle/bottle_facts.js';
import { bottleName, pourName, resolveBottle } from '../bottle_names.js';
import { isLabelHidden } from '../blind/glasses.js';
import { isTriangle } from '../blind/triangle_store.js';
import { amountFacts, servingFacts } from '../tasting/serving_facts.js';
import { isBlank, MIDDLE_STEPS, stepParts } from '../tasting/step_parts.js';
import { LEFT_OUT } from './left_out.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {import('../tasting/step_parts.js').StepParts} StepParts */
/**
 * @typedef {{ title: string, lines: string[], liking: string, words: string, steps: StepParts[] }} SharedTasting
 *   the first step is the verdict
 * @typedef {{ title: string, lines: string[], words: string, tastings: SharedTasting[], triangle: string[] }}
 *   SharedVisit
 */

/** Fields of the bottle in the line under its name; the name itself has the vintage. */
const IN_LINE = ['producer', 'style', 'colour', 'kind', 'region', 'country', 'label_abv'];
const IN_TITLE = ['vintage'];
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
export function visitShare(visit, pours, bottles, units) {
  const { name, place, on, words } = visit;
  const named = name && name !== place;
  return {
    title: named ? name : t('pour.visit_unnamed', { on: on ? date(on) : '' }),
    lines: [named && on ? date(on, LONG_DAY) : '', t('evening.pours', { count: pours.length })].filter(Boolean),
    words: words ?? '',
    tastings: pours.map((pour) => {
      const bottle = isLabelHidden(pour) ? null : resolveBottle(bottles, pour.fields['bottle']);
      return shareOf(pourName(pour, bottles), pour.fields, bottle, units);
    }),
    triangle: triangleLines(visit),
  };
}

/** @param {Fields} visit @returns {string[]} its triangle test, empty without one */
function triangleLines(visit) {
  if (!isTriangle(visit)) return [];
  const score = { correct: visit['triangle_found'], trials: visit['triangle_rounds'] };
  return [t('evening.triangle'), visit['triangle_wines'], t('evening.triangle_score', score)].filter(Boolean);
}

/**
 * @param {string} title
 * @param {Fields} fields of the tasting
 * @param {Row | null} bottle
 * @param {Fields} units the settings
 * @returns {SharedTasting}
 */
function shareOf(title, fields, bottle, units) {
  const label = bottleFacts(bottle?.fields ?? {});
  // Without a name, the style is the title.
  const inLine = bottle?.fields['name'] ? IN_LINE : IN_LINE.filter((field) => field !== 'style');
  const line = label.filter(({ field, text }) => inLine.includes(field) && text);
  const facts = [...label, ...servingFacts(fields, units), ...amountFacts(fields, units)]
    .filter(({ field, text }) => text && ![...IN_LINE, ...IN_TITLE].includes(field))
    .map((fact) => ({ ...fact, value: fact.text }));
  const steps = ['verdict', ...MIDDLE_STEPS, 'guesses'].map((step) => withoutPrivate(stepParts(step, fields, units)));
  steps.splice(1, 0, { id: 'bottle', title: t('book.step_bottle'), aromas: [], scales: [], facts });
  return {
    title,
    lines: [line.map(({ text }) => text).join(' \u00b7 ')].filter(Boolean),
    liking: fields['liking']
      ? t('book.share_liking', { figure: fields['liking'], liking: t(`liking.${fields['liking']}`) })
      : '',
    words: fields['words'] ?? '',
    steps: steps.filter((parts) => !isBlank(parts)),
  };
}

/** @param {StepParts} parts @returns {StepParts} */
function withoutPrivate(parts) {
  return { ...parts, facts: parts.facts.filter(({ field }) => !(field in LEFT_OUT.tasting)) };
}

// Assessments next to the ratings: dryness, finish, complexity. They appear after the rating, so
// that they do not influence it.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { list } from '../../lib/format.js';
import { complexityEvidence } from '../../rules/tasting/nose.js';
import { classifyDryness, classifyFinish } from '../../rules/tasting/assessments.js';
import { labelSweetness } from '../../domain/evidence/sweetness_label_check.js';
import { isLabelHidden, validValues } from '../../domain/pour/current_pour.js';

/** Show dryness or degree of sweetness, and the terms that the law allows on the label. */
export function DrynessNote() {
  const tasting = validValues('tasting');
  const { code, because } = classifyDryness(
    tasting['sweetness'] ?? null,
    tasting['acidity'] ?? null,
    tasting['tannin'] ?? null,
  );
  const marks = list(because.map((scale) => t(`scale.${scale}`).toLocaleLowerCase()));
  const printed = isLabelHidden.value ? null : labelSweetness(validValues('bottle'));
  const key = because.length ? 'pour.reads_as_because' : 'pour.reads_as';
  // The line has its place before the rating too, so that the next scale stays where it is.
  return html`<div class="reading" role="status">
    <p class=${code ? 'two-lines' : 'two-lines soft'}>
      ${code ? t(key, { reading: t(`pour.dryness_${code}`), because: marks }) : t('pour.reads_as_nothing')}</p>
    ${printed && html`<p class="small soft">${printed}</p>`}</div>`;
}

/** Show the length of the finish in the usual terms. */
export function FinishNote() {
  const seconds = validValues('tasting')['finish_s'] ?? null;
  const code = classifyFinish(seconds);
  return code && html`<p class="reading" role="status">${t(`pour.finish_${code}`)}</p>`;
}

/** Show the evidence for complexity, counted from the noted aromas. */
export function ComplexityNote() {
  const { words, families, changes, reading: level } = complexityEvidence(validValues('tasting'));
  if (!level) return html`<p class="field-note">${t('pour.nothing_counted')}</p>`;
  return html`<p class="reading" role="status">
    ${list([
      t('pour.words_noted', { count: words }),
      t('pour.families_noted', { count: families }),
      t('pour.changes_noted', { count: changes }),
    ])}
    ${t('pour.counted_as', { reading: t(`pour.counted_${level}`) })}
  </p>`;
}

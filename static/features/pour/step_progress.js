// Progress through the seven steps of the current pour.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Stepper } from '../../components/layout/stepper.js';
import { currentPour, isLabelHidden, values } from '../../domain/pour/current_pour.js';
import { hasAnswers, steps } from '../../domain/pour/tasting_steps.js';

/** @param {{ current?: string }} props */
export function StepProgress({ current = '' }) {
  // Default values, such as the usual amount, do not count as answers.
  const defaults = currentPour.value?.defaults ?? {};
  const entered = Object.fromEntries(
    Object.entries(values.tasting.value).filter(([field, value]) => defaults[field] !== value),
  );
  const fields = { tasting: entered, bottle: isLabelHidden.value ? {} : values.bottle.value };
  const items = steps.map((step) => {
    const done = hasAnswers(step, fields);
    return {
      id: step,
      label: t(`pour.step_${step}`),
      stateText: t(done ? 'pour.knot_tied' : 'pour.knot_open'),
      href: `#/pour/${currentPour.value?.tasting}/${step}`,
      done,
    };
  });
  return html`<${Stepper} label=${t('pour.thread')} items=${items} current=${current} />`;
}

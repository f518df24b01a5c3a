// The thread of the seven steps of the pour in hand.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Stepper } from '../../components/layout/stepper.js';
import { inHand, isCovered, says } from '../../domain/pour/current_pour.js';
import { isDone, steps } from '../../domain/pour/tasting_steps.js';

/** @param {{ current?: string }} props */
export function StepThread({ current = '' }) {
  // What a pour brings along, such as the usual amount, nobody has said of it yet.
  const carried = inHand.value?.carried ?? {};
  const said = Object.fromEntries(Object.entries(says.tasting.value).filter(([field, value]) => carried[field] !== value));
  const fields = { tasting: said, bottle: isCovered.value ? {} : says.bottle.value };
  const knots = steps.map((step) => {
    const done = isDone(step, fields);
    return { id: step, label: t(`pour.step_${step}`), said: t(done ? 'pour.knot_tied' : 'pour.knot_open'), href: `#/pour/${inHand.value?.tasting}/${step}`, done };
  });
  return html`<${Stepper} label=${t('pour.thread')} knots=${knots} current=${current} />`;
}

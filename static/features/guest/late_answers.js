// What became of answers that came after their step had closed.
import { html, signal } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { time } from '../../lib/format.js';
import { fieldsOfStep } from '../../domain/table/steps.js';
import { glassesOf, stepsOf } from '../../domain/guest/place.js';
import { answersByGlass } from '../../domain/guest/seat_state.js';
import { glassName } from './glass_row.js';

/** @param {string} glass @param {string} step */
function answersOfStep(glass, step) {
  const fields = fieldsOfStep(step);
  return (answersByGlass().get(glass) ?? []).filter(({ field }) => fields.includes(field));
}

/** Show the answers of the step that were noted after it had closed. @param {{ glass: string, step: string }} props */
export function LateAnswers({ glass, step }) {
  const late = answersOfStep(glass, step).filter((answer) => answer.late);
  const refused = answersOfStep(glass, step).filter((answer) => answer.error);
  const closedMs = late[0]?.late?.closed_ms;
  return html`${
    late.length > 0 &&
    html`<p class="notice warm-notice" role="status">${t(closedMs ? 'guest.late_at' : 'guest.late', {
      count: late.length,
      time: closedMs ? time(new Date(closedMs).toISOString()) : '',
    })}</p>`
  }
    ${
      refused.length > 0 &&
      html`<p class="notice warm-notice" role="status">${t('guest.refused', {
        count: refused.length,
      })}</p>`
    }`;
}

/** The places of late answers that the guest has seen, on this page. */
const seen = signal(/** @type {string[]} */ ([]));

/**
 * Say the same of a step that is not shown, since its answers would seem to have vanished; looking at it is enough.
 * @param {{ view: import('../../domain/guest/guest_store.js').View, shown: import('./where.js').Shown | null |
 *   undefined, onChoose: (shown: import('./where.js').Shown) => void }} props
 */
export function LateElsewhere({ view, shown, onChoose }) {
  const places = glassesOf(view).flatMap((glass) => stepsOf(view).map((step) => ({ glass, step })));
  const late = places.find(
    ({ glass, step }) =>
      !seen.value.includes(`${glass.id}/${step}`) &&
      !(shown?.glass === glass.id && shown.step === step) &&
      answersOfStep(glass.id, step).some((each) => each.late),
  );
  if (!late) return null;
  const close = () => {
    seen.value = [...seen.value, `${late.glass.id}/${late.step}`];
  };
  const look = () => {
    close();
    onChoose({ glass: late.glass.id, step: late.step });
  };
  return html`<p class="notice warm-notice" role="status">
    ${t('guest.late_elsewhere', { glass: glassName(late.glass), step: t(`group_step.${late.step}`) })}
    <button type="button" class="button plain" onClick=${look}>${t('guest.late_look')}</button>
    <button type="button" class="button plain" onClick=${close}>${t('parts.close')}</button></p>`;
}

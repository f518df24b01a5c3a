// The foot of an open step: the guest says to be done with it, and may take that back until it closes.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { doneField, hasAnswer } from '../../domain/table/steps.js';
import { isPassed } from '../../domain/guest/place.js';
import { note, valuesOfGlass } from '../../domain/guest/seat_state.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/**
 * @param {{ view: import('../../domain/guest/guest_store.js').View, glass:
 *   import('../../domain/guest/place.js').GuestGlass, step: string }} props
 */
export function DoneFoot({ view, glass, step }) {
  const values = valuesOfGlass(glass.id);
  const isDone = values[doneField(step)] === true;
  const leader = view['table'].leader_name || t('guest.the_leader');
  if (isPassed(glass, step))
    return html`<p class="guest-foot soft small" role="status">${t('guest.closing', { leader })}</p>`;
  const key = isDone ? 'done_wait' : hasAnswer(step, values) ? 'noted_wait' : 'at_ease';
  return html`<p class="guest-foot soft small" role="status">${t(`guest.${key}`, { leader })}</p>
    <${AtThumb}><button type="button" class=${isDone ? 'button' : 'button primary'} aria-pressed=${isDone}
      onClick=${() => note(glass.id, doneField(step), isDone ? null : true)}>
      ${t(isDone ? 'guest.done_undo' : 'guest.done')}</button><//>`;
}

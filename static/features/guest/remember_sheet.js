// Asks the guest, on the own phone, whether the leader may remember the guest's taste. Off until the guest agrees; the
// second tap of a double tap, which opened the sheet, does not.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { date, time } from '../../lib/format.js';
import { Sheet } from '../../components/layout/sheet.js';
import { decideConsent, hasAgreed, seat } from '../../domain/guest/seat_state.js';

/** @param {{ open: boolean, onClose: () => void }} props */
export function RememberSheet({ open, onClose }) {
  const leader = seat.value?.view['table']?.leader_name || t('guest.the_leader');
  return html`<${Sheet} title=${t('guest.remember', { leader })} open=${open} onClose=${onClose}>
    ${open && html`<${Remember} leader=${leader} />`}
  <//>`;
}

/** @param {{ leader: string }} props */
function Remember({ leader }) {
  const open = seat.value;
  if (!open) return null;
  const isAgreed = hasAgreed(open);
  const at = open.consent ? new Date(open.consent.ms).toISOString() : open.guest.agreed_at;
  const isOver = open.state !== 'in';
  return html`<div class="guest-remember">
    <p>${t('guest.remember_what', { leader })}</p>
    <p>${t('guest.remember_end', { leader })}</p>
    <p class="notice" role="status">${
      isAgreed && at
        ? t('guest.remember_is', { date: date(at), time: time(at) })
        : t(isOver ? 'guest.remember_over' : 'guest.remember_not', { leader })
    }</p>
    ${
      !isOver &&
      html`<div class="buttons"><button type="button" class=${isAgreed ? 'button' : 'button primary'} data-once
        onClick=${() => decideConsent(!isAgreed)}>${t(isAgreed ? 'guest.remember_stop' : 'guest.remember_agree')}
        </button></div>`
    }
  </div>`;
}

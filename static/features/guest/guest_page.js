// Page frame of a guest: no navigation, no settings, and whether the answers have reached the leader.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { useRootClass } from '../../components/layout/root_class.js';
import { linkPhase } from '../../domain/guest/guest_link.js';
import { silentSince } from './everyone_at.js';
import { hasSent, isSaveFailing, seat, unsentCount } from '../../domain/guest/seat_state.js';

/** @param {{ title: string, hasStatus?: boolean, children?: unknown }} props */
export function GuestPage({ title, hasStatus = false, children }) {
  useRootClass('without-nav');
  return html`<main class="page guest-page" id="page">
    <header class="page-head"><h1>${title}</h1>${hasStatus && html`<${LinkStatus} />`}</header>
    ${hasStatus && isSaveFailing.value && html`<p class="notice warm-notice" role="alert">${t('guest.state_full')}</p>`}
    ${children}
  </main>`;
}

function LinkStatus() {
  const open = seat.value;
  const since = silentSince();
  const [status, count] = statusOf(open?.origin === 'qr', unsentCount.value, linkPhase.value);
  const key = status === 'offline' && since ? 'offline_since' : status;
  // Nothing to send is not worth a word, and the notice below says what fails.
  if (isSaveFailing.value || (status === 'sent' && !hasSent.value))
    return html`<p class="state-words" role="status"></p>`;
  return html`<p class="state-words" role="status">${t(`guest.state_${key}`, { count, time: since ?? '' })}</p>`;
}

/**
 * @param {boolean} isByCodes
 * @param {number} unsent
 * @param {import('../../domain/guest/guest_link.js').Phase} phase
 * @returns {[string, number]} key of the message, and its number
 */
function statusOf(isByCodes, unsent, phase) {
  if (isByCodes) return ['kept', unsent];
  if (phase === 'connecting') return ['connecting', unsent];
  if (unsent) return [phase === 'fresh' ? 'sending' : 'unsent', unsent];
  return [phase === 'fresh' ? 'sent' : 'offline', unsent];
}

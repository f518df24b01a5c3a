// Where everyone is, for a guest who is elsewhere; without a signal it says since when that is known.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { time } from '../../lib/format.js';
import { glassesOf, glassMark, isLed } from '../../domain/guest/place.js';
import { heardMs, linkPhase } from '../../domain/guest/guest_link.js';
import { seat } from '../../domain/guest/seat_state.js';

/**
 * @param {{ view: import('../../domain/guest/guest_store.js').View, now: import('./follow.js').Now | null, isElsewhere:
 *   boolean, isHeld: boolean, onGo: () => void }} props isHeld: the page stays although the leader went on
 */
export function EveryoneAt({ view, now, isElsewhere, isHeld, onGo }) {
  const since = silentSince();
  const glass = glassesOf(view).find(({ id }) => id === now?.glass);
  if (!isHeld && (!now || !glass || (!isElsewhere && !since))) return null;
  const where = whereIs(view, now, glass);
  return html`<div class="guest-bar" role="status"><p>${where}${
    since && html` <span class="soft">${t('guest.as_of', { time: since })}</span>`
  }${
    // Over plain http there is no service worker that could open the page again.
    since && !globalThis.isSecureContext && html` <span class="warm">${t('guest.keep_open')}</span>`
  }</p>${isElsewhere && html`<button type="button" class="button" onClick=${onGo}>${t('guest.go_there')}</button>`}
  </div>`;
}

/**
 * @param {import('../../domain/guest/guest_store.js').View} view
 * @param {import('./follow.js').Now | null} now
 * @param {import('../../domain/guest/place.js').GuestGlass | undefined} glass
 */
function whereIs(view, now, glass) {
  if (!now || !glass) return t(isLed(view) ? 'guest.none_open' : 'guest.own_pace');
  const mark = glassMark(glass);
  if (now.isTalk) return t('guest.everyone_talks', { mark });
  return t('guest.everyone_at', { step: t(`group_step.${now.step}`), mark });
}

/** @returns {string | null} when the server was last heard; null while it is */
export function silentSince() {
  if (linkPhase.value !== 'offline' || seat.value?.origin === 'qr') return null;
  const ms = heardMs.value || seat.value?.heard_ms;
  return ms ? time(new Date(ms).toISOString()) : null;
}

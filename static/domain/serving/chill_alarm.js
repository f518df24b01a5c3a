// Tells that bottles are ready, or must leave the freezer.
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { alertAt, chilling, keep, nameOf, placedName } from './chill_timer.js';

/** @typedef {import('./chill_timer.js').Chilling} Chilling */

/** Announce all bottles whose time has come, together, because a toast replaces the one before it. */
export async function ring() {
  const now = Date.now();
  const [due, others] = split((each) => !each.told && alertAt(each) <= now);
  keep([...others, ...due.map((each) => ({ ...each, told: true }))]);
  if (!due.length) return;
  const text = due.map(announcement).join(' ');
  showToast(text, null, { everywhere: true });
  navigator.vibrate?.([300, 150, 300]);
  if (!('Notification' in globalThis) || Notification.permission !== 'granted') return;
  const worker = await navigator.serviceWorker?.getRegistration();
  await worker?.showNotification(t('app.name'), { body: text, tag: `serving ${due[0]?.started_ms}` });
}

/** @param {Chilling} bottle its place tells it from others */
function announcement(bottle) {
  const { ready_ms, freezes_ms } = bottle;
  const key = freezes_ms !== null && freezes_ms <= ready_ms ? 'evening.take_out_now' : 'evening.ready_now';
  return t(key, { name: chilling.peek().length > 1 ? placedName(bottle) : nameOf(bottle) });
}

/** @param {(bottle: Chilling) => boolean} isMeant @returns {[Chilling[], Chilling[]]} those and the others */
export function split(isMeant) {
  const all = chilling.peek();
  return [all.filter(isMeant), all.filter((each) => !isMeant(each))];
}

// Chill timer: the running bottle, stored on this phone only, and the notification when it is
// ready.
import { effect } from '../../lib/ui.js';
import { localState } from '../../store/local_state.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';

/**
 * @typedef {object} Chilling
 * @property {string} name of the bottle, or empty
 * @property {string} place id in serving.json
 * @property {number} started_ms
 * @property {number} start_c
 * @property {number} air_c
 * @property {number} tau_min time constant for this bottle's size
 * @property {number} low_c
 * @property {number} high_c
 * @property {number} ready_ms
 * @property {number} early_ms
 * @property {number} late_ms
 * @property {number | null} freezes_ms
 * @property {boolean} told whether the user was notified
 */

export const chilling = localState(
  'serving',
  /** @returns {value is Chilling} */ (/** @type {unknown} */ value) =>
    typeof (/** @type {any} */ (value)?.ready_ms) === 'number' &&
    typeof (/** @type {any} */ (value)?.place) === 'string',
);

const MAX_WAIT_MS = 2 ** 31 - 1;
const MINUTE_MS = 60_000;

/**
 * Start the timer: store when the bottle will be ready, and when it could freeze.
 * @param {import('../../rules/serving/serving.js').Plan} plan
 * @param {Pick<Chilling, 'name' | 'place' | 'start_c' | 'air_c' | 'tau_min' | 'low_c' | 'high_c'>} bottle
 */
export async function startChilling(plan, bottle) {
  const now = Date.now();
  const after = (/** @type {number | null} */ minutes) => now + Number(minutes) * MINUTE_MS;
  await chilling.set({
    ...bottle,
    started_ms: now,
    ready_ms: after(plan.minutes),
    early_ms: after(plan.minutes_low),
    late_ms: after(plan.minutes_high),
    freezes_ms: plan.freezes_min === null ? null : after(plan.freezes_min),
    told: false,
  });
}

/** Ask once for permission to notify. Without it, only the page shows a message. */
export async function requestNotificationPermission() {
  if (!('Notification' in globalThis) || Notification.permission !== 'default') return;
  await Notification.requestPermission().catch(() => {});
}

/** @param {Chilling} now a bottle in the freezer is announced before it can freeze */
export function alertAt({ ready_ms, freezes_ms }) {
  return freezes_ms === null ? ready_ms : Math.min(ready_ms, freezes_ms);
}

effect(() => {
  const now = chilling.value;
  if (!now || now.told) return undefined;
  const wait = alertAt(now) - Date.now();
  const timer = setTimeout(() => ring(now), Math.min(MAX_WAIT_MS, Math.max(0, wait)));
  return () => clearTimeout(timer);
});

/** @param {Chilling} now */
async function ring(now) {
  chilling.set({ ...now, told: true });
  const text = t(
    now.freezes_ms !== null && now.freezes_ms <= now.ready_ms ? 'evening.take_out_now' : 'evening.ready_now',
    { name: now.name || t('evening.the_bottle') },
  );
  showToast(text);
  navigator.vibrate?.([300, 150, 300]);
  if (!('Notification' in globalThis) || Notification.permission !== 'granted') return;
  const worker = await navigator.serviceWorker?.getRegistration();
  await worker?.showNotification(t('app.name'), { body: text, tag: 'serving' });
}

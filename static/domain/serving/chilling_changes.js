// Changes of the bottles that chill: start one and end one.
// The alarm is loaded with it, so that it rings without a network.
import { split } from './chill_alarm.js';
import { alertAt, chilling, keep } from './chill_timer.js';

/** @typedef {import('./chill_timer.js').Chilling} Chilling */

const MINUTE_MS = 60_000;
const FORGOTTEN_MS = 12 * 60 * MINUTE_MS;

/**
 * Start a timer: store when the bottle will be ready, and when it could freeze. Bottles that were ready half a day ago
 * are left out, because nobody waits for them.
 * @param {import('../../rules/serving/serving.js').Plan} plan
 * @param {Pick<Chilling, 'name' | 'place' | 'start_c' | 'air_c' | 'tau_min' | 'low_c' | 'high_c'>} bottle
 */
export async function startChilling(plan, bottle) {
  const now = Date.now();
  const after = (/** @type {number | null} */ minutes) => now + Number(minutes) * MINUTE_MS;
  const started = {
    ...bottle,
    started_ms: now,
    ready_ms: after(plan.minutes),
    early_ms: after(plan.minutes_low),
    late_ms: after(plan.minutes_high),
    freezes_ms: plan.freezes_min === null ? null : after(plan.freezes_min),
    told: false,
  };
  await keep([...chilling.peek().filter((each) => now - alertAt(each) < FORGOTTEN_MS), started]);
}

/** @param {Chilling} bottle @returns {() => void} puts it back */
export function endChilling({ started_ms }) {
  const [taken, left] = split((each) => each.started_ms === started_ms);
  keep(left);
  return () => keep([...chilling.peek(), ...taken]);
}

/** Ask once for permission to notify. Without it, only the page shows a message. */
export async function requestNotificationPermission() {
  if (!('Notification' in globalThis) || Notification.permission !== 'default') return;
  await Notification.requestPermission().catch(() => {});
}

// Chill timers: the bottles that stand somewhere, stored on this phone only; chill_alarm.js tells
// when one is ready.
import { computed, effect } from '../../lib/ui.js';
import { time } from '../../lib/format.js';
import { localState } from '../../store/local_state.js';
import { t } from '../../i18n.js';

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

const stored = localState(
  'serving',
  // Earlier releases stored one bottle alone.
  /** @returns {value is Chilling | Chilling[]} */ (/** @type {any} */ value) =>
    [value].flat().every((each) => typeof each?.ready_ms === 'number' && typeof each.place === 'string'),
);

/** The bottles, the one to be taken out next first. */
export const chilling = computed(() => [stored.value ?? []].flat().sort((a, b) => alertAt(a) - alertAt(b)));

const MAX_WAIT_MS = 2 ** 31 - 1;

/** @param {Chilling[]} bottles */
export const keep = (bottles) => stored.set(bottles.length ? bottles : null);

/** @param {Chilling} now a bottle in the freezer is announced before it can freeze */
export function alertAt({ ready_ms, freezes_ms }) {
  return freezes_ms === null ? ready_ms : Math.min(ready_ms, freezes_ms);
}

/** @param {number} ms since 1970 */
export function timeOfDay(ms) {
  return time(new Date(ms).toISOString());
}

const alarm = () => import('./chill_alarm.js').then(({ ring }) => ring());

effect(() => {
  const next = chilling.value.find(({ told }) => !told);
  if (!next) return undefined;
  const timer = setTimeout(alarm, Math.min(MAX_WAIT_MS, Math.max(0, alertAt(next) - Date.now())));
  return () => clearTimeout(timer);
});

/** @param {Chilling} bottle */
export const nameOf = ({ name }) => name || t('evening.the_bottle');

/** @param {Chilling} bottle */
export function placedName(bottle) {
  return t(`evening.in_${bottle.place}`, { name: nameOf(bottle) });
}

// Minutes and temperatures as the serving pages say them.
import { t } from '../../words.js';
import { temperature, time } from '../../formats.js';
import { ownSettings } from './units.js';

const HOUR_MIN = 60;
const FIVE_FROM_MIN = 30;

/** @param {number} minutes in whole minutes; long ones to the next five, for no bottle is that exact */
export function duration(minutes) {
  const rounded = minutes < FIVE_FROM_MIN ? Math.max(1, Math.round(minutes)) : Math.round(minutes / 5) * 5;
  if (rounded < HOUR_MIN) return t('evening.minutes', { minutes: rounded });
  const rest = rounded % HOUR_MIN;
  return t(rest ? 'evening.hours_minutes' : 'evening.hours', { hours: Math.floor(rounded / HOUR_MIN), minutes: rest });
}

/** @param {number} celsius */
export function degrees(celsius) {
  return temperature(celsius, ownSettings()['temperature_unit']);
}

/** @param {{ low_c: number, high_c: number }} band */
export function bandSaid({ low_c, high_c }) {
  return t('pour.range', { low: degrees(low_c), high: degrees(high_c) });
}

/** @param {number} ms since 1970 */
export function clock(ms) {
  return time(new Date(ms).toISOString());
}

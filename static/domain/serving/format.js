// Texts for durations and temperatures of the serving pages.
import { t } from '../../i18n.js';
import { temperature } from '../../lib/format.js';
import { cachedSettings } from '../units.js';

const HOUR_MIN = 60;
const FIVE_FROM_MIN = 30;

/** @param {number} minutes rounded to minutes, long ones to five minutes */
export function duration(minutes) {
  const rounded = minutes < FIVE_FROM_MIN ? Math.max(1, Math.round(minutes)) : Math.round(minutes / 5) * 5;
  if (rounded < HOUR_MIN) return t('evening.minutes', { minutes: rounded });
  const rest = rounded % HOUR_MIN;
  return t(rest ? 'evening.hours_minutes' : 'evening.hours', { hours: Math.floor(rounded / HOUR_MIN), minutes: rest });
}

/** @param {number} celsius */
export function temperatureText(celsius) {
  return temperature(celsius, cachedSettings()['temperature_unit']);
}

/** Format a serving range in whole degrees. @param {{ low_c: number, high_c: number }} band */
export function bandText({ low_c, high_c }) {
  const unit = cachedSettings()['temperature_unit'];
  const rounded = (/** @type {number} */ celsius) =>
    temperatureText(unit === 'fahrenheit' ? celsius : Math.round(celsius));
  return t('pour.range', { low: rounded(low_c), high: rounded(high_c) });
}

// Values in the user's units; records use degrees Celsius and millilitres.
import { liveSignal, settings } from '../store/queries.js';
import { ML_PER_US_FLUID_OUNCE } from '../lib/format.js';
import { t } from '../i18n.js';

/** @typedef {{ unit: string, toDisplay: (value: number) => number, fromDisplay: (value: number) => number }} Unit */

const own = liveSignal(settings, null);

/** @param {number} value @param {number} digits */
const rounded = (value, digits) => Number(value.toFixed(digits));

/** @returns {Record<string, any>} the settings; empty until they are loaded */
export function cachedSettings() {
  return own.value?.fields ?? {};
}

/** @returns {Unit} */
export function temperatureUnit() {
  if (cachedSettings()['temperature_unit'] !== 'fahrenheit')
    return { unit: t('temperature_unit.celsius'), toDisplay: (value) => value, fromDisplay: (value) => value };
  return {
    unit: t('temperature_unit.fahrenheit'),
    toDisplay: (celsius) => rounded((celsius * 9) / 5 + 32, 1),
    fromDisplay: (fahrenheit) => rounded(((fahrenheit - 32) * 5) / 9, 3),
  };
}

/** @returns {Unit} */
export function volumeUnit() {
  if (cachedSettings()['volume_unit'] !== 'fluid_ounce')
    return { unit: t('pour.ml'), toDisplay: (value) => value, fromDisplay: (value) => value };
  return {
    unit: t('pour.fl_oz'),
    toDisplay: (ml) => rounded(ml / ML_PER_US_FLUID_OUNCE, 2),
    fromDisplay: (ounces) => rounded(ounces * ML_PER_US_FLUID_OUNCE, 3),
  };
}

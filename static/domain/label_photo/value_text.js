// A field of a bottle and its value as text.
import record from '../../spec/record.json' with { type: 'json' };
import { abv, list, number, volume } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { countryName } from '../country_names.js';
import { styleName } from '../style_names.js';
import { cachedSettings } from '../units.js';
import { RANGE } from './offers.js';

const shapes = /** @type {Record<string, { type: string, of?: string }>} */ (record.kinds.bottle.fields);

/** @param {string} field */
export function fieldLabel(field) {
  if (field === RANGE) return t('field.label_abv');
  return t(field === 'words' ? 'label_photo.other_words' : `field.${field}`);
}

/** @param {string} field @param {any} value @returns {string} */
export function valueText(field, value) {
  if (field.startsWith('label_abv'))
    return Array.isArray(value) ? `${number(value[0])}\u2013${abv(value[1])}` : abv(value);
  if (field === 'volume_ml') return volume(value, cachedSettings()['volume_unit']);
  if (field === 'vintage') return String(value);
  const { type, of = field } = shapes[field] ?? { type: 'text' };
  if (type === 'choice') return t(`${of}.${value}`);
  if (type === 'choices') return list(value.map((/** @type {string} */ id) => t(`${of}.${id}`)));
  if (type === 'style') return styleName(value);
  if (type === 'country') return countryName(value);
  if (type === 'flag') return t(value ? 'pour.yes' : 'pour.no');
  return typeof value === 'number' ? number(value) : String(value);
}

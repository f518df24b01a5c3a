// How a wine was served, as names and texts: temperature, amounts, mark of the glass.
import { t } from '../../i18n.js';
import { fieldName, fieldText } from './field_text.js';

/** @typedef {import('../../store/record.js').Fields} Fields */

/**
 * @param {Fields} fields of the tasting
 * @param {Fields} units the settings
 * @returns {import('../bottle/bottle_facts.js').TextFact[]} text: empty without a value
 */
export function servingFacts(fields, units) {
  return ['serving_c', 'pour_ml', 'swallowed_ml', 'flight_mark'].map((field) => ({
    field,
    name: fieldName(field),
    text: (field === 'swallowed_ml' && swallowedText(fields)) || fieldText(field, fields[field], units),
  }));
}

/** @param {Fields} fields @returns {string | null} what says more than an amount, or all that was said */
function swallowedText({ spat, swallowed_ml }) {
  if (spat === true) return t('evening.all_spat');
  return spat === false && typeof swallowed_ml !== 'number' ? t('evening.share_all') : null;
}

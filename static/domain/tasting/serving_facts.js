// How a wine was served and how much of it was drunk, as names and texts.
import { t } from '../../i18n.js';
import { fieldName, fieldText } from './field_text.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {import('../bottle/bottle_facts.js').TextFact} TextFact */

/**
 * Return temperature and mark of the glass.
 * @param {Fields} fields of the tasting
 * @param {Fields} units the settings
 * @returns {TextFact[]} text: empty without a value
 */
export function servingFacts(fields, units) {
  return ['serving_c', 'flight_mark'].map((field) => fact(field, fieldText(field, fields[field], units)));
}

/**
 * Return how much was poured and swallowed.
 * @param {Fields} fields of the tasting
 * @param {Fields} units the settings
 * @returns {TextFact[]} text: empty without a value
 */
export function amountFacts(fields, units) {
  return [
    fact('pour_ml', fieldText('pour_ml', fields['pour_ml'], units)),
    fact('swallowed_ml', swallowedText(fields) || fieldText('swallowed_ml', fields['swallowed_ml'], units)),
  ];
}

/** @param {string} field @param {string} text @returns {TextFact} */
function fact(field, text) {
  return { field, name: fieldName(field), text };
}

/** @param {Fields} fields @returns {string | null} what says more than an amount, or all that was said */
function swallowedText({ spat, swallowed_ml }) {
  if (spat === true) return t('evening.all_spat');
  return spat === false && typeof swallowed_ml !== 'number' ? t('evening.share_all') : null;
}

// What is known of a bottle, as names and texts: for its page, for sharing and for print.
import { number } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { labelAbv } from '../bottle_names.js';
import { countryName } from '../country_names.js';
import { styleName, styleOf } from '../style_names.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {{ field: string, name: string, text: string }} TextFact */

const MAX_DIGITS = 2;

/** @param {Fields} fields of a bottle @returns {TextFact[]} text: empty without a value; none of a covered label */
export function bottleFacts(fields) {
  if (fields['covered']) return [];
  /** @type {[string, string | null | undefined][]} */
  const texts = [
    ['producer', fields['producer']],
    ['vintage', fields['vintage'] ? String(fields['vintage']) : fields['non_vintage'] && t('vintage.none_said')],
    ['style', styleName(fields['style'])],
    ['colour', unlessOfStyle(fields, 'colour', 'colour')],
    ['kind', unlessOfStyle(fields, 'kind', 'bottle_kind')],
    ['grapes', fields['grapes']],
    ['region', fields['region']],
    ['country', countryName(fields['country'])],
    ['label_abv', labelAbv(/** @type {any} */ ({ fields }))],
    ['label_words', (fields['label_words'] ?? []).map((/** @type {string} */ id) => t(`label_words.${id}`)).join(', ')],
    ['protected_origin', fields['protected_origin'] ? t('book.yes') : ''],
    ['residual_sugar_gl', measured(fields['residual_sugar_gl'], 'book.grams_a_litre')],
    ['total_acidity_gl', measured(fields['total_acidity_gl'], 'book.grams_a_litre')],
    ['closure', fields['closure'] && t(`closure.${fields['closure']}`)],
    ['volume_ml', measured(fields['volume_ml'], 'book.millilitres')],
    ['words', fields['words']],
  ];
  return texts.map(([field, text]) => ({ field, name: t(`field.${field}`), text: text ?? '' }));
}

/**
 * Return a choice that the style does not already say.
 * @param {Fields} fields
 * @param {'colour' | 'kind'} field
 * @param {string} vocabulary
 */
function unlessOfStyle(fields, field, vocabulary) {
  const id = fields[field];
  return id && id !== styleOf(fields['style'])?.[field] ? t(`${vocabulary}.${id}`) : '';
}

/** @param {unknown} amount @param {string} key */
function measured(amount, key) {
  return typeof amount === 'number' ? t(key, { amount: number(amount, MAX_DIGITS) }) : '';
}

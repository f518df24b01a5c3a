// The name and the value of any field of a tasting as text, by its line in the spec.
import record from '../../spec/record.json' with { type: 'json' };
import { abv, number, temperature, volume } from '../../lib/format.js';
import { hasMessage, t } from '../../i18n.js';
import { parseAromas } from '../aroma_text.js';
import { gradedFaultText } from '../faults.js';
import { styleName } from '../style_names.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {{ type: string, of?: string, min?: number, max?: number }} Shape */

const shapes = /** @type {Record<string, Shape>} */ (record.kinds.tasting.fields);
const MARKS = /** @type {Record<string, string>} */ ({
  '-1': 'parts.too_little',
  0: 'parts.just_right',
  1: 'parts.too_much',
});
const MARK_PREFIX = 'just_right_';

const GUESSES = /** @type {Record<string, string>} */ ({
  guess_abv: 'evening.guesses_abv',
  guess_age_years: 'evening.guesses_age',
  guess_style: 'evening.guesses_style',
  guess_grape: 'evening.guesses_grape',
});

/** Numbers with a unit. @type {Record<string, (value: number, units: Fields) => string>} */
const WITH_UNIT = {
  finish_s: (value) => t('book.seconds', { count: Math.round(value) }),
  guess_abv: (value) => abv(value),
  guess_age_years: (value) => t('book.years', { count: value }),
  serving_c: (value, units) => temperature(value, units['temperature_unit']),
  pour_ml: (value, units) => volume(value, units['volume_unit']),
  swallowed_ml: (value, units) => volume(value, units['volume_unit']),
};

/** @param {string} field */
export function typeOf(field) {
  return shapes[field]?.type ?? 'text';
}

/** Tell whether the field is an intensity on a line with two end words. @param {string} field */
export function isScale(field) {
  return typeOf(field) === 'number' && hasMessage(`scale.${field}.low`);
}

/** Tell whether the field is the just-about-right mark of a scale. @param {string} field */
export function isMark(field) {
  return field.startsWith(MARK_PREFIX);
}

/** @param {string} scale @param {Fields} fields @returns {number | null} the mark of a scale */
export function markOf(scale, fields) {
  return fields[MARK_PREFIX + scale] ?? null;
}

/** @param {number | null} mark @returns {string} empty without a mark */
export function markText(mark) {
  return mark === null ? '' : t(MARKS[String(mark)] ?? '');
}

/** @param {string} field */
export function fieldName(field) {
  if (field === 'finish_s') return t('book.finish');
  return t(hasMessage(`field.${field}`) ? `field.${field}` : `scale.${field}`);
}

/** Name a guess where a heading already says that these are guesses. @param {string} field */
export function guessName(field) {
  return t(GUESSES[field] ?? `field.${field}`);
}

/**
 * @param {string} field
 * @param {any} value
 * @param {Fields} [units] the settings
 * @returns {string} empty without a value
 */
export function fieldText(field, value, units = {}) {
  if (value === null || value === undefined || value === '') return '';
  const { type, of = field } = shapes[field] ?? { type: 'text' };
  const word = (/** @type {string} */ id) => (hasMessage(`${of}.${id}`) ? t(`${of}.${id}`) : id);
  const unit = WITH_UNIT[field];
  if (unit) return unit(value, units);
  if (type === 'aromas') return aromasText(value);
  if (type === 'graded') return gradedFaultText({ [field]: value });
  if (type === 'choices') return value.map(word).join(', ');
  if (type === 'choice') return word(value);
  if (type === 'style') return styleName(value);
  if (type === 'flag') return t(value ? 'book.yes' : 'book.no');
  if (typeof value === 'number') return hasMessage(`${field}.${value}`) ? t(`${field}.${value}`) : number(value);
  return String(value);
}

/** Name the aromas, each with its strength if it has one. @param {string[] | null | undefined} entries */
function aromasText(entries) {
  return parseAromas(entries)
    .map(({ text, strength }) => (strength ? `${text} (${t(`book.strength_${strength}`)})` : text))
    .join(', ');
}

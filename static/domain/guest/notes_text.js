// A guest's own notes as plain text, in the language of the screens.
import { t } from '../../i18n.js';
import { timestamp } from '../../lib/datetime.js';
import { date } from '../../lib/format.js';
import { labelAbv, wineName } from '../bottle_names.js';
import { fieldName, fieldText, isMark, markText } from '../tasting/field_text.js';
import { fieldsOfStep, GROUP_STEPS } from '../table/steps.js';
import { glassMark } from './place.js';

/** @typedef {import('./take_away.js').OwnNote} OwnNote */
/** @typedef {Record<string, any>} Fields */

/**
 * @param {string} title
 * @param {OwnNote[]} notes
 * @param {import('./guest_store.js').View} [view] of the table, for its day and its host
 * @returns {string}
 */
export function notesAsText(title, notes, view = {}) {
  const glasses = notes.map(({ glass, values, same_as }) => {
    const name = glassText(glassMark(glass));
    const lines = factsOf(values).map((fact) => `${fact.name}: ${fact.value}`);
    const same = same_as ? [`${t('field.guess_same_as')}: ${same_as}`] : [];
    return [...(glass.bottle ? labelLines(name, glass.bottle) : [name]), ...lines, ...same].join('\n');
  });
  const head = [title, headLine(view['table'] ?? {}, notes)].filter(Boolean).join('\n');
  return [head, ...glasses].join('\n\n');
}

/** @param {string} mark */
const glassText = (mark) => t('guest.glass', { mark });

/** Return the day, and who led. @param {Record<string, any>} table @param {OwnNote[]} notes */
function headLine({ on, leader_name: leader }, notes) {
  const first = Math.min(...notes.map(({ firstMs }) => firstMs));
  const day = on ?? (Number.isFinite(first) ? timestamp(new Date(first)).slice(0, 10) : null);
  return [day && date(day), leader && t('table.led_by', { leader })].filter(Boolean).join(' \u00b7 ');
}

/** @param {string} name of the glass @param {Record<string, any>} bottle */
function labelLines(name, bottle) {
  const printed = labelAbv(/** @type {any} */ ({ fields: bottle }));
  return [`${name}: ${wineName(bottle)}`, ...(printed ? [t('table.label_abv', { abv: printed })] : [])];
}

/** @param {Record<string, any>} values @returns {{ name: string, value: string }[]} in the order of tasting */
export function factsOf(values) {
  return GROUP_STEPS.flatMap(fieldsOfStep)
    .filter((field) => field in values && !(isMark(field) && scaleOf(field) in values))
    .map((field) => ({ name: nameOf(field), value: [textOf(field, values[field]), markOf(field, values)].join('') }));
}

/**
 * Say how the taster finds the strength of a scale, behind its number.
 * @param {string} field
 * @param {Fields} values
 */
function markOf(field, values) {
  const mark = `just_right_${field}`;
  return mark in values ? ` (${textOf(mark, values[mark])})` : '';
}

/** @param {string} field of a mark */
const scaleOf = (field) => field.slice('just_right_'.length);

/** @param {string} field */
function nameOf(field) {
  return isMark(field) ? t(`scale.${scaleOf(field)}`) : fieldName(field);
}

/** @param {string} field @param {any} value @returns {string} */
function textOf(field, value) {
  if (isMark(field)) return markText(value);
  return field === 'liking' ? `${value} (${t(`liking.${value}`)})` : fieldText(field, value);
}

/**
 * Say what becomes of notes whose wine this phone does not know. QR codes do not tell whether a label is covered.
 * @param {Pick<import('./guest_store.js').Seat, 'origin'>} seat
 * @param {number} count of glasses
 */
export function withoutLabelText({ origin }, count) {
  return origin === 'qr' ? t('guest.no_labels') : t('guest.still_covered', { count });
}

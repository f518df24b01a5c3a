// A guest's own notes as plain text, in the language of the screens.
import record from '../../spec/record.json' with { type: 'json' };
import { hasMessage, t } from '../../i18n.js';
import { number } from '../../lib/format.js';
import { parseAromas } from '../aroma_text.js';
import { wineName } from '../bottle_names.js';
import { styleName } from '../style_names.js';
import { fieldsOfStep, GROUP_STEPS } from '../table/steps.js';

/** @typedef {import('./take_away.js').OwnNote} OwnNote */

const shapes = /** @type {Record<string, { type: string, of?: string }>} */ (record.kinds.tasting.fields);

/** @param {string} title @param {OwnNote[]} notes @returns {string} */
export function notesAsText(title, notes) {
  const glasses = notes.map(({ glass, values }) => {
    const name = t('guest.glass', { mark: glass.mark || String(glass.position) });
    const lines = factsOf(values).map((fact) => `${fact.name}: ${fact.value}`);
    return [glass.bottle ? `${name}: ${wineName(glass.bottle)}` : name, ...lines].join('\n');
  });
  return [title, ...glasses].join('\n\n');
}

/** @param {Record<string, any>} values @returns {{ name: string, value: string }[]} in the order of tasting */
export function factsOf(values) {
  return GROUP_STEPS.flatMap(fieldsOfStep)
    .filter((field) => field in values)
    .map((field) => ({ name: nameOf(field), value: textOf(field, values[field]) }));
}

/** @param {string} field */
function nameOf(field) {
  if (field.startsWith('just_right_')) return t('parts.just_right_of', { name: t(`scale.${field.slice(11)}`) });
  return hasMessage(`field.${field}`) ? t(`field.${field}`) : t(`scale.${field}`);
}

/** @param {string} field @param {any} value @returns {string} */
function textOf(field, value) {
  const { type, of = field } = shapes[field] ?? { type: 'text' };
  if (type === 'aromas')
    return parseAromas(value)
      .map(({ text }) => text)
      .join(', ');
  if (field.startsWith('just_right_')) return t(`parts.${['too_little', 'just_right', 'too_much'][value + 1]}`);
  if (field === 'liking') return `${value} (${t(`liking.${value}`)})`;
  if (type === 'style') return styleName(value) ?? String(value);
  if (type === 'choice') return t(`${of}.${value}`);
  if (type === 'choices') return value.map((/** @type {string} */ each) => t(`${of}.${each}`)).join(', ');
  return typeof value === 'number' ? number(value) : String(value);
}

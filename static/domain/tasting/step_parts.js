// What a tasting says at each step: aromas, scales and facts. All fields of a step are included,
// also those that a later version adds.
import { hasValue } from '../../components/layout/fact_list.js';
import { hasMessage, t } from '../../i18n.js';
import { capitalized, uncapitalized } from '../../lib/capital.js';
import { number } from '../../lib/format.js';
import { AROMA_FIELDS } from '../../rules/tasting/aroma_fields.js';
import { parseAromas } from '../aroma_text.js';
import { GUESS_FIELDS } from '../fields.js';
import { stepFields } from '../pour/tasting_steps.js';
import { fieldName, fieldText, guessName, isMark, isScale, markOf, markText, typeOf } from './field_text.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {{ field: string, entries: string[], before: string[] | null }} AromaPart */
/** @typedef {{ field: string, value: number | null, mark: number | null }} ScalePart */
/** @typedef {{ field: string, value: any, name: string, text: string }} FactPart */
/**
 * @typedef {{ id: string, title: string, aromas: AromaPart[], scales: ScalePart[], facts: FactPart[] }} StepParts
 */

/** Shown elsewhere on a page: at its head, or with the amounts. */
const AT_HEAD = ['liking', 'words', 'pour_ml', 'swallowed_ml'];
/** Shown with the amount that was swallowed. */
const WITH_AMOUNT = ['spat'];
const DIGEST_FACTS = 3;
const UNBROKEN_LENGTH = 36;
/** Facts whose value alone does not say what it is about. */
const NAMED_IN_DIGEST = [
  'look_depth',
  'look_bubbles',
  'fruit_state',
  'tannin_texture',
  'warmth_where',
  'standout',
  'finish_s',
  'fault_counts',
];
/** Messages that say a value together with its subject. */
const SAID = /** @type {Record<string, string>} */ ({ look_rim: 'rim_said', look_gradation: 'gradation_said' });
const INSIDE_TYPES = ['moment', 'ref'];

/** The steps between the bottle and the verdict. */
export const MIDDLE_STEPS = ['look', 'first_nose', 'second_nose', 'sips', 'whole'];

/** @param {string} step @returns {string[]} */
function fieldsOf(step) {
  if (step === 'guesses') return GUESS_FIELDS;
  const fields = (stepFields[step]?.tasting ?? []).filter((field) => !WITH_AMOUNT.includes(field));
  return step === 'verdict'
    ? fields.filter((field) => !AT_HEAD.includes(field) && !GUESS_FIELDS.includes(field))
    : fields;
}

/**
 * @param {string} step an id of `stepFields`, or `guesses`
 * @param {Fields} fields of the tasting
 * @param {Fields} [units] the settings
 * @returns {StepParts}
 */
export function stepParts(step, fields, units = {}) {
  // A fault does not count unless the taster says so, which is worth a line.
  const values = /** @type {Fields} */ ({
    ...fields,
    fault_counts: fields['faults']?.length ? fields['fault_counts'] === true : null,
  });
  const filled = fieldsOf(step).filter((field) => hasValue(values[field]));
  const scales = fieldsOf(step)
    .filter(isScale)
    .map((field) => ({ field, value: fields[field] ?? null, mark: markOf(field, fields) }));
  return {
    id: step,
    title: t(`book.step_${step}`),
    aromas: filled
      .filter((field) => typeOf(field) === 'aromas')
      .map((field) => ({ field, entries: fields[field], before: aromasBefore(field, fields) })),
    scales: scales.filter(({ value, mark }) => value !== null || mark !== null),
    facts: filled
      .filter((field) => isFact(field) && !(field === 'look_colour' && hasValue(fields['look_hue'])))
      .map((field) => ({
        field,
        value: values[field],
        name: step === 'guesses' ? guessName(field) : fieldName(field),
        text: fieldText(field, values[field], units),
      })),
  };
}

/** Tell whether nothing was entered at the step. @param {StepParts} parts */
export function isBlank({ aromas, scales, facts }) {
  return aromas.length + scales.length + facts.length === 0;
}

/** Return the step in one line, for a folded title. @param {StepParts} parts */
export function stepDigest({ aromas, scales, facts }) {
  const words = parseAromas(aromas[0]?.entries).map(({ text }) => text);
  const values = scales.flatMap(({ field, value }) =>
    value === null ? [] : [`${uncapitalized(fieldName(field))}\u00a0${number(value)}`],
  );
  const said = facts.slice(0, DIGEST_FACTS).map(saidShort);
  // A nose is known by its aromas, the sips by their scales.
  return capitalized((values.length > 1 ? [...values, ...words, ...said] : [...words, ...values, ...said]).join(', '));
}

/** Say a fact without its name where the value allows it. @param {FactPart} fact */
function saidShort({ field, value, name, text }) {
  const whole = SAID[field] && `${SAID[field]}.${value}`;
  if (whole && hasMessage(whole)) return t(whole);
  const said = field === 'standout' ? text.toLocaleLowerCase() : text;
  return NAMED_IN_DIGEST.includes(field) ? named(uncapitalized(name), [said]) : said;
}

/** Return the step as lines of text, a line for each part. @param {StepParts} parts */
export function stepLines(parts) {
  return [
    ...aromaLines(parts),
    ...parts.scales.map(({ field, value, mark }) => {
      const ends = `(${t(`scale.${field}.low`)} \u2013 ${t(`scale.${field}.high`)})`;
      return named(fieldName(field), [value === null ? '' : `${number(value)} ${ends}`, markText(mark)]);
    }),
    ...factLines(parts),
  ];
}

/** Return the step in few lines: aromas, then all scales in one, then all facts in one. @param {StepParts} parts */
export function stepSummary(parts) {
  const scales = parts.scales.map(({ field, value, mark }) => {
    const said = markText(mark);
    return [fieldName(field), value === null ? '' : number(value), said && `(${said})`].filter(Boolean).join(' ');
  });
  const joined = (/** @type {string[]} */ items) => items.map(unbroken).join(' \u00b7 ');
  return [...aromaLines(parts), joined(scales), joined(factLines(parts))].filter(Boolean);
}

/** Keep a short item on one line. @param {string} item */
function unbroken(item) {
  return item.length > UNBROKEN_LENGTH ? item : item.replaceAll(' ', '\u00a0');
}

/** List the aromas of a step; a single list goes by the name of its step. @param {StepParts} parts */
function aromaLines({ aromas }) {
  return aromas.map(({ field, entries }) =>
    aromas.length > 1 ? named(fieldName(field), [fieldText(field, entries)]) : fieldText(field, entries),
  );
}

/** @param {Pick<StepParts, 'facts'>} parts */
export function factLines({ facts }) {
  return facts.map(({ name, text }) => named(name, [text]));
}

/** @param {string} name a noun or a question @param {string[]} values */
function named(name, values) {
  const value = values.filter(Boolean).join(', ');
  return name.endsWith('?') ? `${name} ${value}` : t('book.share_line', { name, value });
}

/** @param {string} field */
function isFact(field) {
  return !isMark(field) && !isScale(field) && typeOf(field) !== 'aromas' && !INSIDE_TYPES.includes(typeOf(field));
}

/** Return the aromas of the last step before this one that has any. @param {string} field @param {Fields} fields */
function aromasBefore(field, fields) {
  const earlier = AROMA_FIELDS.slice(
    0,
    AROMA_FIELDS.findIndex((each) => each === field),
  ).reverse();
  const found = earlier.find((each) => hasValue(fields[each]));
  return found ? fields[found] : null;
}

// Form fields of the current pour. Labels, bounds and errors come from the messages and the spec.
import record from '../../spec/record.json' with { type: 'json' };
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Choice } from '../../components/form/choice.js';
import { NumberField, TextField } from '../../components/form/field.js';
import { JarButtons } from '../../components/form/jar_buttons.js';
import { LikingScale, TermScale, VocabularyChoice } from '../judgement_controls.js';
import { errors, values, setFields } from './current_pour.js';

/** @typedef {import('./current_pour.js').Target} Target */
/** @typedef {{ side?: Target, field: string, label?: string, note?: string }} Asked */

/**
 * @param {Target} side
 * @param {string} field
 * @returns {{ type: string, max?: number, min?: number, of?: string }}
 */
function shapeOf(side, field) {
  return (
    /** @type {Record<string, { type: string, max?: number, min?: number, of?: string }>} */ (
      record.kinds[side].fields
    )[field] ?? { type: 'text' }
  );
}

/** @param {Target} side @param {string} field */
export function errorText(side, field) {
  const error = errors.value[`${side}.${field}`];
  return error ? t(`error.${error.code}`, { bound: error.bound ?? '' }) : null;
}

/**
 * Mark the field of a control, so that tests find which fields have one.
 * @param {{ side: Target, field: string, children?: unknown }} props
 */
export function FieldSlot({ side, field, children }) {
  return html`<div data-field=${`${side}.${field}`}>${children}</div>`;
}

/**
 * @param {Asked & { multiline?: boolean, large?: boolean, placeholder?: string, list?: string[],
 *   onChange?: (value: string | null) => void }} props
 */
export function TextInput({
  side = 'tasting',
  field,
  label = t(`field.${field}`),
  note,
  multiline = false,
  large = false,
  placeholder,
  list,
  onChange = (value) => setFields(side, { [field]: value }),
}) {
  return html`<${FieldSlot} side=${side} field=${field}>
    <${TextField} label=${label} value=${values[side].value[field]} long=${multiline}
        className=${large ? 'name-input' : undefined} note=${note}
    placeholder=${placeholder} list=${list} error=${errorText(side, field)} onChange=${onChange} />
    <//>`;
}

/**
 * @param {Asked & { unit?: string, integer?: boolean, toDisplay?: (value: number) => number, fromDisplay?:
 *   (value: number) => number, fieldsOf?: (value: number | null) => Record<string, any> }} props `toDisplay` and
 *   `fromDisplay` convert the record's unit to the user's and back; `fieldsOf` gives all fields to set
 */
export function NumberInput({
  side = 'tasting',
  field,
  label = t(`field.${field}`),
  note,
  unit,
  integer = false,
  toDisplay = (value) => value,
  fromDisplay = (value) => value,
  fieldsOf = (value) => ({ [field]: value }),
}) {
  const value = values[side].value[field];
  const error = errors.value[`${side}.${field}`];
  const bound = error?.bound === undefined ? '' : toDisplay(Number(error.bound));
  const change = (/** @type {number | null} */ typed) =>
    setFields(side, fieldsOf(typed === null ? null : fromDisplay(typed)));
  return html`<${FieldSlot} side=${side} field=${field}>
    <${NumberField} label=${label} value=${value === null || value === undefined ? value : toDisplay(value)}
      unit=${unit}
        integer=${integer} note=${note}
    error=${error ? t(`error.${error.code}`, { bound }) : null} onChange=${change} /><//>`;
}

/**
 * Offer the words of the field's vocabulary: one of them, or several where the record holds a list.
 * @param {Asked & { without?: string[] }} props without: words that do not suit the wine
 */
export function ChoiceInput({ side = 'tasting', field, label = t(`field.${field}`), note, without }) {
  const { type, of = field } = shapeOf(side, field);
  return html`<${FieldSlot} side=${side} field=${field}>
    <${VocabularyChoice} vocabulary=${of} several=${type === 'choices'} label=${label} note=${note}
      without=${without ?? []} value=${values[side].value[field]}
      onChange=${(/** @type {string | string[] | null} */ value) => setFields(side, { [field]: value })} />
  <//>`;
}

/** @param {Asked} props */
export function Toggle({ side = 'tasting', field, label = t(`field.${field}`), note }) {
  const value = values[side].value[field];
  const chosen = value === true ? 'yes' : value === false ? 'no' : null;
  return html`<${FieldSlot} side=${side} field=${field}>
    <${Choice} label=${label} note=${note} value=${chosen} options=${[
      { id: 'yes', label: t('pour.yes') },
      { id: 'no', label: t('pour.no') },
    ]}
    onChange=${(/** @type {string | null} */ choice) =>
      setFields(side, { [field]: choice === null ? null : choice === 'yes' })} />
    <//>`;
}

/**
 * Show a scale from 0 to 10 with a JAR rating below it.
 * @param {{ scale: string, mark?: boolean }} props
 */
export function ScaleInput({ scale, mark = true }) {
  const field = `just_right_${scale}`;
  return html`<${FieldSlot} side="tasting" field=${scale}>
    <${TermScale} scale=${scale} value=${values.tasting.value[scale]}
    onChange=${(/** @type {number | null} */ value) => setFields('tasting', { [scale]: value })}>
    ${
      mark &&
      html`<${FieldSlot} side="tasting" field=${field}>
      <${JarButtons} label=${t(`scale.${scale}`)} value=${values.tasting.value[field]}
          onChange=${(/** @type {number | null} */ value) => setFields('tasting', { [field]: value })} />
    <//>`
    }
  <//><//>`;
}

export function LikingInput() {
  return html`<${FieldSlot} side="tasting" field="liking">
    <${LikingScale} value=${values.tasting.value['liking']}
        onChange=${(/** @type {number | null} */ value) => setFields('tasting', { liking: value })} />
    <//>`;
}

// Text and number fields with label, note and error.
import { html, useEffect, useId, useState } from '../../lib/ui.js';
import { numberFormat } from '../../lib/intl_cache.js';
import { parseNumber } from '../../lib/format.js';
import { locale, t } from '../../i18n.js';

/**
 * @typedef {object} FieldProps
 * @property {string} label
 * @property {string} [note]
 * @property {string | null} [error]
 * @property {string} [placeholder]
 * @property {boolean} [autofocus]
 */

/**
 * @param {FieldProps & { value: string | null | undefined, onChange: (value: string | null) => void, long?: boolean,
 *   className?: string, autocomplete?: string, autocapitalize?: string, list?: string[], maxLength?: number, type?:
 *   string, inputmode?: string }} props
 */
export function TextField({
  label,
  value,
  onChange,
  note,
  error,
  long,
  className,
  placeholder,
  autocomplete = 'off',
  autocapitalize,
  list,
  maxLength,
  type = 'text',
  autofocus,
  inputmode,
}) {
  const id = useId();
  const write = (/** @type {Event} */ event) => onChange(/** @type {HTMLInputElement} */ (event.target).value || null);
  const shared = {
    id,
    value: value ?? '',
    onInput: write,
    placeholder,
    maxLength,
    autofocus,
    inputmode,
    'aria-describedby': `${id}-note`,
    'aria-invalid': error ? 'true' : undefined,
  };
  // Names and passphrases have `autocapitalize` set; they are not spell-checked or corrected
  // either.
  const asGiven = autocapitalize ? { autocapitalize, autocorrect: false, spellcheck: false } : {};
  return html`<div class=${error ? 'field wrong' : 'field'}>
    <label class="label" for=${id}>${label}</label>
    ${
      long
        ? html`<textarea ...${shared} rows="3" class=${className}></textarea>`
        : html`<input ...${shared} type=${type} class=${className} autocomplete=${autocomplete} ...${asGiven}
            list=${list ? `${id}-list` : undefined} enterkeyhint="done" />`
    }
    ${list && html`<datalist id=${`${id}-list`}>${list.map((item) => html`<option value=${item} />`)}</datalist>`}
    <${FieldNotes} id=${id} note=${note} error=${error} />
  </div>`;
}

/**
 * Edit a number typed with point or comma. An invalid number stays in the field with its error and
 * is not passed on. `thousands`: see `parseNumber()`.
 * @param {FieldProps & { value: number | null | undefined, onChange: (value: number | null) => void, unit?: string,
 *   min?: number, max?: number, integer?: boolean, thousands?: boolean, example?: number }} props
 */
export function NumberField({
  label,
  value,
  onChange,
  note,
  error,
  unit,
  min,
  max,
  integer,
  thousands = integer,
  example,
  placeholder,
  autofocus,
}) {
  const id = useId();
  const [text, setText] = useState(asText(value));
  useEffect(() => {
    if (parseNumber(text, thousands) !== (value ?? null)) setText(asText(value));
  }, [value]);
  const read = parseNumber(text, thousands);
  const wrong = error ?? numberError(read, { min, max, integer, example });
  const write = (/** @type {Event} */ event) => {
    const typed = /** @type {HTMLInputElement} */ (event.target).value;
    setText(typed);
    const number = parseNumber(typed, thousands);
    if (!numberError(number, { min, max, integer })) onChange(number);
  };
  return html`<div class=${wrong ? 'field wrong' : 'field'}>
    <label class="label" for=${id}>${label}</label>
    <div class="with-unit">
      <input id=${id} class="figure" type="text" inputmode=${integer ? 'numeric' : 'decimal'} value=${text}
          onInput=${write} placeholder=${placeholder} autocomplete="off"
        autofocus=${autofocus} enterkeyhint="done" aria-invalid=${wrong ? 'true' : undefined}
            aria-describedby=${unit ? `${id}-unit ${id}-note` : `${id}-note`} />
      ${unit && html`<span class="soft" id=${`${id}-unit`}>${unit}</span>`}
    </div>
    <${FieldNotes} id=${id} note=${note} error=${wrong} />
  </div>`;
}

/** @param {{ id: string, note?: string | undefined, error?: string | null | undefined }} props */
function FieldNotes({ id, note, error }) {
  return html`<div id=${`${id}-note`} aria-live="polite">
    ${error ? html`<p class="field-error">${error}</p>` : note && html`<p class="field-note">${note}</p>`}
  </div>`;
}

/** @param {number | null | undefined} value */
function asText(value) {
  return value === null || value === undefined
    ? ''
    : numberFormat(locale(), { useGrouping: false, maximumFractionDigits: 4 }).format(value);
}

/**
 * @param {number | null} number
 * @param {{ min?: number | undefined, max?: number | undefined, integer?: boolean | undefined, example?: number |
 *   undefined }} bounds
 */
function numberError(number, { min, max, integer, example = 13.5 }) {
  if (number === null) return null;
  if (Number.isNaN(number)) return t('parts.not_number', { example });
  if (integer && !Number.isInteger(number)) return t('parts.not_whole');
  if (min !== undefined && number < min) return t('parts.too_low', { bound: min });
  if (max !== undefined && number > max) return t('parts.too_high', { bound: max });
  return null;
}

// A short list as the browser's own select element.
import { html, useId } from '../../lib/ui.js';

/**
 * @param {object} props
 * @param {string} props.label
 * @param {{ id: string, label: string }[]} props.options
 * @param {string | null | undefined} props.value
 * @param {string} props.none text for no selection
 * @param {(value: string | null) => void} props.onChange
 * @param {string} [props.note]
 */
export function SelectField({ label, options, value, none, onChange, note }) {
  const id = useId();
  const change = (/** @type {Event} */ event) =>
    onChange(/** @type {HTMLSelectElement} */ (event.target).value || null);
  return html`<div class="field">
    <label class="label" for=${id}>${label}</label>
    <select id=${id} class=${value ? undefined : 'unset'} value=${value ?? ''} onChange=${change}
      aria-describedby=${note ? `${id}-note` : undefined}>
      <option value="">${none}</option>
      ${options.map((option) => html`<option key=${option.id} value=${option.id}>${option.label}</option>`)}
    </select>
    ${note && html`<p class="field-note" id=${`${id}-note`}>${note}</p>`}
  </div>`;
}

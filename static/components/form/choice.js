// A few options as toggle buttons. A swatch never replaces the text of an option.
import { html, useId } from '../../lib/ui.js';

/** @typedef {{ id: string, label: string, swatch?: string }} Option */

/**
 * @param {{ label: string, options: Option[], value: string | null | undefined, onChange: (value: string | null) =>
 *   void, note?: string, hideLabel?: boolean }} props
 */
export function Choice({ label, options, value, onChange, note, hideLabel }) {
  const id = useId();
  return html`<div class="field" role="radiogroup" aria-labelledby=${id}>
    <span class=${hideLabel ? 'unseen' : 'label'} id=${id}>${label}</span>
    ${note && html`<p class="field-note">${note}</p>`}
    <div class="choices">${options.map(
      (
        option,
      ) => html`<button type="button" class="choice" role="radio" key=${option.id} aria-checked=${value === option.id}
      onClick=${() => onChange(value === option.id ? null : option.id)}><${Face} option=${option} /></button>`,
    )}</div>
  </div>`;
}

/**
 * @param {{ label: string, options: Option[], value: string[] | null | undefined, onChange: (value: string[] | null)
 *   => void, note?: string, hideLabel?: boolean }} props
 */
export function Choices({ label, options, value, onChange, note, hideLabel }) {
  const id = useId();
  const chosen = value ?? [];
  const toggle = (/** @type {string} */ option) => {
    const next = chosen.includes(option) ? chosen.filter((item) => item !== option) : [...chosen, option];
    onChange(next.length ? next : null);
  };
  return html`<div class="field" role="group" aria-labelledby=${id}>
    <span class=${hideLabel ? 'unseen' : 'label'} id=${id}>${label}</span>
    ${note && html`<p class="field-note">${note}</p>`}
    <div class="choices">${options.map(
      (option) => html`<button type="button" class="choice" key=${option.id} aria-pressed=${chosen.includes(option.id)}
      onClick=${() => toggle(option.id)}><${Face} option=${option} /></button>`,
    )}</div>
  </div>`;
}

/** @param {{ option: Option }} props */
function Face({ option }) {
  return html`${option.swatch && html`<span class="swatch" style=${{ background: option.swatch }}></span>`}
  <span>${option.label}
  </span>`;
}

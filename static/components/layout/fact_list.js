// List of names and values.
import { html } from '../../lib/ui.js';

/** @typedef {{ name: string, value: unknown }} FactEntry */

/** @param {{ entries: (FactEntry | null)[] }} props entries without a value are left out */
export function FactList({ entries }) {
  const filled = entries.filter(
    (entry) => entry !== null && entry.value !== null && entry.value !== undefined && entry.value !== '',
  );
  if (!filled.length) return null;
  return html`<dl
  class="facts">${filled.map((entry) => html`<div><dt>${entry?.name}</dt><dd>${entry?.value}</dd></div>`)}
  </dl>`;
}

/** @param {unknown} value */
export function hasValue(value) {
  return value !== null && value !== undefined && value !== '' && !(Array.isArray(value) && value.length === 0);
}

// List of names and values.
import { html } from '../../lib/ui.js';

/** @typedef {{ name: string, said: unknown }} FactEntry */

/** @param {{ entries: (FactEntry | null)[] }} props entries without a value are left out */
export function FactList({ entries }) {
  const told = entries.filter(
    (entry) => entry !== null && entry.said !== null && entry.said !== undefined && entry.said !== '',
  );
  if (!told.length) return null;
  return html`<dl class="facts">${told.map((entry) => html`<div><dt>${entry?.name}</dt><dd>${entry?.said}</dd></div>`)}
  </dl>`;
}

/** @param {unknown} value */
export function hasValue(value) {
  return value !== null && value !== undefined && value !== '' && !(Array.isArray(value) && value.length === 0);
}

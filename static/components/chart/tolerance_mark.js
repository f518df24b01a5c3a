// A drawn mark of where something lies against two bounds: between them, astride one, or beyond. Each is a shape of
// its own.
import { html } from '../../lib/ui.js';

const BARS = 'M5 2v12M15 2v12';
const SHAPES = /** @type {Record<string, unknown>} */ ({
  inside: html`<circle cx="10" cy="8" r="2.75" class="full" />`,
  may_stray: html`<circle cx="15" cy="8" r="2.75" class="hollow" />`,
  outside: html`<path d="M18 5l5 6M23 5l-5 6" stroke-width="2" />`,
});

/**
 * @param {{ position: 'inside' | 'may_stray' | 'outside' }} props the word stands beside it, so the drawing itself
 *   is not read out
 */
export function ToleranceMark({ position }) {
  return html`<svg class=${`stray-mark ${position}`} viewBox="0 0 24 16" width="24" height="16" aria-hidden="true">
    <path d=${BARS} stroke-width="1.5" />${SHAPES[position]}</svg>`;
}

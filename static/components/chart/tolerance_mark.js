// Mark for a value's position against two bounds: inside, on a bound, or outside. Each has its own
// shape.
import { html } from '../../lib/ui.js';

const BARS = 'M5 2v12M15 2v12';
const SHAPES = /** @type {Record<string, unknown>} */ ({
  inside: html`<circle cx="10" cy="8" r="2.75" class="full" />`,
  may_stray: html`<circle cx="15" cy="8" r="2.75" class="hollow" />`,
  outside: html`<path d="M18 5l5 6M23 5l-5 6" stroke-width="2" />`,
});

/**
 * @param {{ position: 'inside' | 'may_stray' | 'outside' }} props hidden from screen readers,
 *   because a text follows it
 */
export function ToleranceMark({ position }) {
  return html`<svg class=${`tolerance-mark ${position}`} viewBox="0 0 24 16" width="24" height="16" aria-hidden="true">
    <path d=${BARS} stroke-width="1.5" />${SHAPES[position]}</svg>`;
}

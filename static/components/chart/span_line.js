// A span of years on an axis that all rows share, with the present year as a tick.
import { html } from '../../lib/ui.js';

/**
 * @param {{ min: number, max: number, now: number, from: number | null, by: number | null, faint?: boolean }} props
 *   years, each drawn as a whole; an end outside the axis, or unknown, is drawn open; faint: usual, not entered
 */
export function SpanLine({ min, max, now, from, by, faint = false }) {
  const at = (/** @type {number} */ year) =>
    `${((Math.min(max + 1, Math.max(min, year)) - min) / (max + 1 - min)) * 100}%`;
  const [start, end] = [from ?? min, (by ?? max) + 1];
  return html`<svg class=${faint ? 'span-line faint' : 'span-line'} aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1="50%" y2="50%" />
    <line class="band" x1=${at(start)} x2=${at(end)} y1="50%" y2="50%" />
    ${from !== null && from >= min && html`<line class="end" x1=${at(from)} x2=${at(from)} y1="20%" y2="80%" />`}
    ${by !== null && by <= max && html`<line class="end" x1=${at(end)} x2=${at(end)} y1="20%" y2="80%" />`}
    <circle class="now" cx=${at(now + 0.5)} cy="50%" r="5" />
  </svg>`;
}

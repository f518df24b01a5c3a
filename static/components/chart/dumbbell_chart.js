// A value before and now on one axis, each with its interval: a ring and a dot.
import { html } from '../../lib/ui.js';

const LINE_Y = 20;
const LANE = 7;
const RING = 5;
const BEAD = 6;

/** @typedef {{ mark: number, low: number, high: number }} Estimate */

/** @param {{ min: number, max: number, before: Estimate, now: Estimate }} props */
export function DumbbellChart({ min, max, before, now }) {
  const at = (/** @type {number} */ value) => `${((Math.min(max, Math.max(min, value)) - min) / (max - min)) * 100}%`;
  const bar = (/** @type {Estimate} */ estimate, /** @type {number} */ y, /** @type {string} */ name) =>
    html`<line class=${name} x1=${at(estimate.low)} x2=${at(estimate.high)} y1=${y} y2=${y} />`;
  return html`<svg class="shift-line" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${LINE_Y} y2=${LINE_Y} />
    ${bar(before, LINE_Y - LANE, 'band-before')}
    <circle class="dot" cx=${at(before.mark)} cy=${LINE_Y - LANE} r=${RING} />
    ${bar(now, LINE_Y + LANE, 'band')}
    <circle class="dot filled" cx=${at(now.mark)} cy=${LINE_Y + LANE} r=${BEAD} />
  </svg>`;
}

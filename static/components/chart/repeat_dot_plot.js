// Repeated answers to one question on one axis; their spread shows the repeatability.
import { html } from '../../lib/ui.js';

const MIDDLE = '50%';
const DOT = 5;
const STEP = 3;

/** @param {{ min: number, max: number, values: number[] }} props in order of time */
export function RepeatDotPlot({ min, max, values }) {
  const at = (/** @type {number} */ value) => `${((value - min) / (max - min)) * 100}%`;
  const rings = values.map((value, index) => ({
    value,
    radius: DOT + STEP * values.slice(0, index).filter((earlier) => earlier === value).length,
  }));
  return html`<svg class="dot-interval" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${MIDDLE} y2=${MIDDLE} />
    <line class="band" x1=${at(Math.min(...values))} x2=${at(Math.max(...values))} y1=${MIDDLE} y2=${MIDDLE} />
    ${rings.reverse().map(({ value, radius }) => html`<circle class="dot" cx=${at(value)} cy=${MIDDLE} r=${radius} />`)}
  </svg>`;
}

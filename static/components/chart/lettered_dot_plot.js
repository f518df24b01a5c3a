// Values on one axis, each a circle with its letter. Lanes separate marks that would overlap.
import { html } from '../../lib/ui.js';
import { assignLanes } from './lanes.js';

const LANE = 24;
const RADIUS = 10;
// In px like the circles, independent of the text size.
const LETTER = 12;
const NEAR_SHARE = 0.07;

/** @typedef {{ letter: string, value: number }} Lettered */

/** @param {{ min: number, max: number, marks: Lettered[] }} props */
export function LetteredDotPlot({ min, max, marks }) {
  const share = (/** @type {number} */ value) => (value - min) / (max - min);
  const laned = assignLanes(
    marks.map((mark) => ({ ...mark, at: share(mark.value) })),
    NEAR_SHARE,
  );
  const height = LANE * (1 + Math.max(0, ...laned.map(({ lane }) => lane)));
  const y = (/** @type {number} */ lane) => height - LANE / 2 - lane * LANE;
  return html`<svg class="lettered-line" height=${height} width="100%" aria-hidden="true" focusable="false">
    <line x1="0" x2="100%" y1=${y(0)} y2=${y(0)} />
    ${laned.map(
      ({ letter, at, lane }) => html`<g key=${letter}>
    <circle cx=${`${at * 100}%`} cy=${y(lane)} r=${RADIUS} />
    <text x=${`${at * 100}%`} y=${y(lane)} text-anchor="middle" dominant-baseline="central" font-size=${LETTER}>
      ${letter}
    </text>
    </g>`,
    )}
  </svg>`;
}

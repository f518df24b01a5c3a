// Several answers on one ruled line, each a bead with its letter; beads that would lie on each other stand in lanes.
import { html } from '../../lib/ui.js';

const LANE = 24;
const RADIUS = 10;
// As large as the bead, whatever the size of the text around it.
const LETTER = 12;
const NEAR_SHARE = 0.07;

/** @typedef {{ letter: string, value: number }} Lettered */

/** @param {{ min: number, max: number, marks: Lettered[] }} props */
export function LetteredDotPlot({ min, max, marks }) {
  const share = (/** @type {number} */ value) => (value - min) / (max - min);
  const laned = assignLanes(marks.map((mark) => ({ ...mark, at: share(mark.value) })));
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

/** @param {(Lettered & { at: number })[]} marks @returns {(Lettered & { at: number, lane: number })[]} */
export function assignLanes(marks) {
  /** @type {(Lettered & { at: number, lane: number })[]} */
  const placed = [];
  for (const mark of [...marks].sort((a, b) => a.at - b.at)) {
    let lane = 0;
    while (placed.some((other) => other.lane === lane && Math.abs(other.at - mark.at) < NEAR_SHARE)) lane += 1;
    placed.push({ ...mark, lane });
  }
  return placed;
}

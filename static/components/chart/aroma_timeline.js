// Aroma timeline: a line for each aroma, a dot at each moment (larger if stronger), a frayed end if
// the aroma faded.
import { html } from '../../lib/ui.js';

const STEP = 36;
const TOP = 12;
const SMALLEST = 3;
// With more moments the drawing takes the space of the texts, which only screen readers get then.
const MAX_MOMENTS_WITH_TEXT = 3;

/**
 * @typedef {{ id: string, name: string, text: string, strengths: (number | null | undefined)[] }} TimelineRow
 *   strengths: a strength 0..3 at each moment, null if absent, undefined if not known
 */

/** @typedef {{ group: string, text: string }} Moment a short name, and what it is one of */

/** @param {{ moments: Moment[], rows: TimelineRow[] }} props moments: in order, those of a group together */
export function Timeline({ moments, rows }) {
  const width = { width: `${(moments.length * STEP) / 16}rem` };
  const groups = [...new Set(moments.map(({ group }) => group))].map((name) => {
    return { name, count: moments.filter(({ group }) => group === name).length };
  });
  return html`<div class="aroma-timeline">
  <div class="timeline-moments" aria-hidden="true">
  <span>
  </span>
  <span style=${width}>${groups.map(
    ({ name, count }) => html`<span class="timeline-group" style=${{ gridColumn: `span ${count}` }}>${name}</span>`,
  )}
  ${moments.map(({ text }) => html`<span>${text}</span>`)}
  </span>
  ${moments.length <= MAX_MOMENTS_WITH_TEXT && html`<span class="timeline-text"></span>`}
  </div>
    <ul>${rows.map(
      ({ id, name, text, strengths: beads }) => html`<li key=${id}><span class="name">${name}</span>
      <svg style=${width} viewBox=${`0 0 ${moments.length * STEP} ${2 * TOP}`} aria-hidden="true" focusable="false">
        ${lines(beads)}
        ${beads.map(
          (bead, at) =>
            typeof bead === 'number' &&
            html`<circle
          class="marker" cx=${x(at)} cy=${TOP} r=${SMALLEST + bead} />`,
        )}
      </svg>
      <span class=${`timeline-text ${moments.length > MAX_MOMENTS_WITH_TEXT ? 'unseen' : ''}`}>${text}</span></li>`,
    )}</ul></div>`;
}

/** @param {number} at */
function x(at) {
  return (at + 0.5) * STEP;
}

/** @param {(number | null | undefined)[]} beads */
function lines(beads) {
  return beads.slice(1).map((bead, index) => {
    const before = beads[index] ?? null;
    if (before === null || bead === undefined) return null;
    return html`<path class=${bead === null ? 'track-absent' : 'track'}
        d=${`M${x(index)} ${TOP} H${x(index + 1) - (bead === null ? STEP / 4 : 0)}`} />`;
  });
}

// Aroma timeline: a line for each aroma, a dot at each moment (larger if stronger), a frayed end if
// the aroma faded.
import { html } from '../../lib/ui.js';

const STEP = 36;
const TOP = 12;
const SMALLEST = 3;
// With more moments the drawing takes the space of the texts, which only screen readers get then.
const SAID_BESIDE = 3;

/**
 * @typedef {{ id: string, name: string, said: string, beads: (number | null)[] }} Strand beads: a
 *   strength 0..3 at each moment, null if absent
 */

/** @param {{ moments: string[], strands: Strand[] }} props moments: short names, in order */
export function Timeline({ moments, strands }) {
  const width = { width: `${(moments.length * STEP) / 16}rem` };
  return html`<div class="strands">
  <div class="strand-moments" aria-hidden="true">
  <span>
  </span>
  <span style=${width}>${moments.map((moment) => html`<span>${moment}</span>`)}
  </span>
  ${moments.length <= SAID_BESIDE && html`<span class="strand-said"></span>`}
  </div>
    <ul>${strands.map(
      ({ id, name, said, beads }) => html`<li key=${id}><span class="name">${name}</span>
      <svg style=${width} viewBox=${`0 0 ${moments.length * STEP} ${2 * TOP}`} aria-hidden="true" focusable="false">
        ${lines(beads)}
        ${beads.map(
          (bead, at) =>
            bead !== null &&
            html`<circle
          class="bead-mark" cx=${x(at)} cy=${TOP} r=${SMALLEST + bead} />`,
        )}
      </svg>
      <span class=${moments.length > SAID_BESIDE ? 'strand-said unseen' : 'strand-said'}>${said}</span></li>`,
    )}</ul></div>`;
}

/** @param {number} at */
function x(at) {
  return (at + 0.5) * STEP;
}

/** @param {(number | null)[]} beads */
function lines(beads) {
  return beads.slice(1).map((bead, index) => {
    const before = beads[index] ?? null;
    if (before === null) return null;
    return html`<path class=${bead === null ? 'frayed' : 'strand'}
        d=${`M${x(index)} ${TOP} H${x(index + 1) - (bead === null ? STEP / 4 : 0)}`} />`;
  });
}

// Progress through the steps: a knot for an answered step, a loop for the current one, an eyelet
// for an empty one.
import { html } from '../../lib/ui.js';

const WAVE = 'M0 14 Q13 9 26 14 T52 14';
const TIED = 'M17 16 C17 9 25 6 28 10 C31 14 27 20 23 19 C19 18 22 8 29 9 C36 10 37 18 33 19 C29 20 25 14 21 12';

/**
 * @typedef {{ id: string, label: string, said: string, href: string, done: boolean }} Knot `said`:
 *   whether the step is answered, as text
 */

/** @param {{ label: string, knots: Knot[], current: string }} props */
export function Stepper({ label, knots, current }) {
  return html`<nav class="thread" aria-label=${label}><ol>${knots.map(
    (knot) => html`<li key=${knot.id}>
    <a href=${knot.href} aria-current=${knot.id === current ? 'step' : undefined} data-done=${knot.done}>
      <${StepMark} done=${knot.done} current=${knot.id === current} />
      <span class="knot-name">${knot.label}</span><span class="unseen">${knot.said}</span>
    </a></li>`,
  )}</ol></nav>`;
}

/** @param {{ done: boolean, current: boolean }} props */
function StepMark({ done, current }) {
  return html`<span class="knot-mark" aria-hidden="true">
  <svg class="strand-part" viewBox="0 0 52 28" preserveAspectRatio="none" focusable="false">
    <path class="strand" d=${WAVE} />
  </svg>
    <svg viewBox="0 0 52 28" focusable="false">
      ${
        done
          ? html`<path class="tied-under" d=${TIED} />
        <path class="tied" d=${TIED} />`
          : html`<circle class="eyelet" cx="26" cy="14" r="3.5" />`
      }
    ${current && html`<circle class="loop" cx="26" cy="14" r="12" />`}</svg></span>`;
}

// Progress through the steps: a knot for an answered step, a loop for the current one, an eyelet
// for an empty one.
import { html } from '../../lib/ui.js';

const OPEN_PATH = 'M0 14 Q13 9 26 14 T52 14';
const DONE_PATH = 'M17 16 C17 9 25 6 28 10 C31 14 27 20 23 19 C19 18 22 8 29 9 C36 10 37 18 33 19 C29 20 25 14 21 12';

/**
 * @typedef {{ id: string, label: string, stateText: string, href: string, done: boolean }} StepperItem `stateText`:
 *   whether the step is answered, as text
 */

/** @param {{ label: string, items: StepperItem[], current: string }} props */
export function Stepper({ label, items, current }) {
  return html`<nav class="stepper" aria-label=${label}><ol>${items.map(
    (item) => html`<li key=${item.id}>
    <a href=${item.href} aria-current=${item.id === current ? 'step' : undefined} data-done=${item.done}>
      <${StepMark} done=${item.done} current=${item.id === current} />
      <span class="step-name">${item.label}</span><span class="unseen">${item.stateText}</span>
    </a></li>`,
  )}</ol></nav>`;
}

/** @param {{ done: boolean, current: boolean }} props */
function StepMark({ done, current }) {
  return html`<span class="step-mark" aria-hidden="true">
  <svg class="step-track" viewBox="0 0 52 28" preserveAspectRatio="none" focusable="false">
    <path class="track" d=${OPEN_PATH} />
  </svg>
    <svg viewBox="0 0 52 28" focusable="false">
      ${
        done
          ? html`<path class="step-done-under" d=${DONE_PATH} />
        <path class="step-done" d=${DONE_PATH} />`
          : html`<circle class="step-open" cx="26" cy="14" r="3.5" />`
      }
    ${current && html`<circle class="step-current" cx="26" cy="14" r="12" />`}</svg></span>`;
}

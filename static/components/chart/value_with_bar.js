// A number above a small axis with a dot at its value, or a bar over its interval.
import { html } from '../../lib/ui.js';

/**
 * @param {object} props
 * @param {string} props.figure
 * @param {string} props.text accessible label
 * @param {number} props.min
 * @param {number} props.max
 * @param {number | null} [props.at] position of the dot
 * @param {[number, number] | null} [props.span] ends of the bar
 */
export function ValueWithBar({ figure, text, min, max, at = null, span = null }) {
  const share = (/** @type {number} */ value) => Math.min(100, Math.max(0, ((value - min) / (max - min)) * 100));
  return html`<span class="ruled-figure">
    <span class="figure" aria-hidden="true">${figure}</span><span class="unseen">${text}</span>
    <span class="ruled-figure-line" aria-hidden="true">
      ${
        span &&
        html`<span class="bar" style=${{ left: `${share(span[0])}%`, right: `${100 - share(span[1])}%` }}>
      </span>`
      }
      ${at !== null && html`<span class="dot" style=${{ left: `${share(at)}%` }}></span>`}
    </span>
  </span>`;
}

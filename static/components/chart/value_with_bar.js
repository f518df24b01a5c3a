// A figure over its own small ruled line: a bead where it stands, or a bar where it probably stands.
import { html } from '../../lib/ui.js';

/**
 * @param {object} props
 * @param {string} props.figure
 * @param {string} props.said the figure in words, for those who do not see the line
 * @param {number} props.min
 * @param {number} props.max
 * @param {number | null} [props.at] where the bead stands
 * @param {[number, number] | null} [props.span] where the bar lies
 */
export function ValueWithBar({ figure, said, min, max, at = null, span = null }) {
  const share = (/** @type {number} */ value) => Math.min(100, Math.max(0, ((value - min) / (max - min)) * 100));
  return html`<span class="ruled-figure">
    <span class="figure" aria-hidden="true">${figure}</span><span class="unseen">${said}</span>
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

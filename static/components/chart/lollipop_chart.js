// Errors in order of time: a stem from the zero line to each error, upwards if too high and
// downwards if too low.
import { html } from '../../lib/ui.js';

const HEIGHT = 80;
const HALF = HEIGHT / 2;
const DOT = 4;
const EDGE = 8;

/**
 * @param {object} props
 * @param {number[]} props.errors in the order of time
 * @param {number | null} props.bias mean error
 * @param {string} props.above label of the upper end
 * @param {string} props.below
 * @param {string} props.label accessible label
 */
export function LollipopChart({ errors, bias, above, below, label }) {
  const maxError = Math.max(1, ...errors.map(Math.abs));
  const y = (/** @type {number} */ error) => HALF - (error / maxError) * (HALF - EDGE);
  const x = (/** @type {number} */ index) => `${((index + 0.5) / errors.length) * 100}%`;
  return html`<div class="error-chart"><span class="soft small" aria-hidden="true">${above}</span>
    <svg role="img" aria-label=${label} height=${HEIGHT} width="100%">
      <line class="zero" x1="0" x2="100%" y1=${HALF} y2=${HALF} />
      ${bias !== null && html`<line class="bias" x1="0" x2="100%" y1=${y(bias)} y2=${y(bias)} />`}
      ${errors.map(
        (error, index) => html`<line class="stem" x1=${x(index)} x2=${x(index)} y1=${HALF} y2=${y(error)} />
        <circle class="miss" cx=${x(index)} cy=${y(error)} r=${DOT} />`,
      )}
    </svg><span class="soft small" aria-hidden="true">${below}</span></div>`;
}

// A rated scale, read only: name, dot on its axis, end labels and JAR rating.
import { html, useId } from '../../lib/ui.js';
import { number } from '../../lib/format.js';
import { t } from '../../i18n.js';

const MARKS = /** @type {Record<string, string>} */ ({
  '-1': 'parts.too_little',
  0: 'parts.just_right',
  1: 'parts.too_much',
});

/**
 * @param {{ label: string, low: string, high: string, value: number | null, mark?: number | null, min?: number,
 *   max?: number }} props
 */
export function ScaleReadout({ label, low, high, value, mark = null, min = 0, max = 10 }) {
  const labelId = useId();
  const markText = mark === null ? null : t(/** @type {string} */ (MARKS[String(mark)]));
  return html`<div class="still-scale" role="group" aria-labelledby=${labelId}>
    <span class="still-scale-name" id=${labelId}>${label}</span>
    ${
      value !== null &&
      html`<span class="still-scale-line" role="img" aria-label=${`${number(value)}, ${low} \u2013 ${high}`}>
      <span class="dot" style=${{ left: `${((value - min) / (max - min)) * 100}%` }}>
      </span>
      </span>
      <span class="figure still-scale-figure" aria-hidden="true">${number(value)}</span>
      <span class="still-scale-ends" aria-hidden="true"><span>${low}</span><span>${high}</span></span>`
    }
    ${markText && html`<span class=${mark === 0 ? 'still-scale-mark' : 'still-scale-mark off'}>${markText}</span>`}
  </div>`;
}

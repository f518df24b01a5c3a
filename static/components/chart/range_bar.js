// An interval drawn against a preferred range. Ends outside the axis are drawn open.
import { html } from '../../lib/ui.js';

/**
 * @param {object} props
 * @param {number} props.min
 * @param {number} props.max
 * @param {number | null} props.low of the interval; null if unknown
 * @param {number | null} props.high
 * @param {number | null} [props.stated] the number on the label
 * @param {number | null} props.preferredLow
 * @param {number | null} props.preferredHigh
 * @param {string} props.label
 * @param {number[]} [props.notches] values with a tick and a number
 */
export function RangeBar({ min, max, low, high, stated = null, preferredLow, preferredHigh, label, notches = [] }) {
  const at = (/** @type {number} */ value) => Math.min(100, Math.max(0, ((value - min) / (max - min)) * 100));
  const between = (/** @type {number} */ a, /** @type {number} */ b) => ({
    left: `${at(a)}%`,
    right: `${100 - at(b)}%`,
  });
  const offScale = high !== null && high <= min ? 'below' : low !== null && low >= max ? 'above' : null;
  return html`<span class=${notches.length ? 'interval-line with-figures' : 'interval-line'} role="img"
      aria-label=${label}>
    <span class="wanted" style=${between(preferredLow ?? min, preferredHigh ?? max)}></span>
    ${
      preferredLow !== null &&
      preferredLow > min &&
      html`<span class="edge" style=${{ left: `${at(preferredLow)}%` }}></span>`
    }
    ${
      preferredHigh !== null &&
      preferredHigh < max &&
      html`<span class="edge" style=${{ left: `${at(preferredHigh)}%` }}>
    </span>`
    }
    ${low !== null && high !== null && html`<span class="lawful" style=${between(low, high)}></span>`}
    ${
      offScale &&
      html`<span class=${`off-scale ${offScale}`} aria-hidden="true">${offScale === 'below' ? '\u2039' : '\u203A'}
    </span>`
    }
    ${stated !== null && !offScale && html`<span class="stated" style=${{ left: `${at(stated)}%` }}></span>`}
    ${notches.map((value) => html`<span class="notch" style=${{ left: `${at(value)}%` }}><span>${value}</span></span>`)}
  </span>`;
}

// One dot for each person on a ruled line, with the median and the middle half.
import { html, useId } from '../../lib/ui.js';
import { number } from '../../lib/format.js';
import { assignLanes } from './lanes.js';

const MIN_DISTANCE = 4.5;

/** With fewer people half of them are not within the middle half. */
const LEAST_PEOPLE = 4;

/**
 * @param {readonly unknown[]} dots
 * @param {{ low: number | null, high: number | null }} middle quartiles
 * @returns {boolean} whether the middle half is drawn
 */
export function hasBar(dots, { low, high }) {
  return dots.length >= LEAST_PEOPLE && low !== null && high !== null && low < high;
}

/**
 * @param {object} props
 * @param {string} props.label
 * @param {string} props.said the values as a sentence, for screen readers and under the line
 * @param {string} [props.low] end words
 * @param {string} [props.high]
 * @param {number} props.min
 * @param {number} props.max
 * @param {boolean} [props.notched] whether each whole number has a tick
 * @param {{ id: string, value: number, name: string | null }[]} props.dots
 * @param {{ low: number | null, median: number | null, high: number | null }} props.middle quartiles
 */
export function GuestDots({ label, said, low = '', high = '', min, max, notched = false, dots, middle }) {
  const labelId = useId();
  const share = (/** @type {number} */ value) => Math.min(100, Math.max(0, ((value - min) / (max - min)) * 100));
  const placed = assignLanes(
    dots.map(({ id, value, name }) => ({ id, name, value, at: share(value) })),
    MIN_DISTANCE,
  );
  const rows = 1 + Math.max(0, ...placed.map(({ lane }) => lane));
  const notches = notched ? Array.from({ length: max - min + 1 }, (_, step) => share(min + step)) : [];
  return html`<div class="guest-dots" role="group" aria-labelledby=${labelId}>
    <p class="guest-dots-name"><span class="name" id=${labelId}>${label}</span>
      ${' '}<span class="soft small">${said}</span></p>
    <div class="guest-dots-line" aria-hidden="true" style=${{ '--rows': rows }}>
      ${notches.map((at) => html`<i class="notch" key=${at} style=${{ left: `${at}%` }}></i>`)}
      ${
        hasBar(dots, middle) &&
        html`<i class="middle-half" style=${{
          left: `${share(Number(middle.low))}%`,
          right: `${100 - share(Number(middle.high))}%`,
        }}></i>`
      }
      ${middle.median !== null && html`<i class="median" style=${{ left: `${share(middle.median)}%` }}></i>`}
      ${placed.map(
        ({ id, at, lane, name, value }) => html`<i class="guest-dot" key=${id} title=${name ?? number(value)}
        style=${{ left: `${at}%`, '--row': lane }}></i>`,
      )}
    </div>
    ${(low || high) && html`<div class="scale-ends" aria-hidden="true"><span>${low}</span><span>${high}</span></div>`}
  </div>`;
}

// Values over time as joined dots between two grid lines. A table next to the chart has the same
// data.
import { html } from '../../lib/ui.js';

const HEIGHT = 96;
const EDGE = 10;
const DOT = 5;
// Margin for the first and last dot, in percent of the width.
const SIDE = 3;

/**
 * @param {object} props
 * @param {{ time: number, value: number, filled: boolean }[]} props.points milliseconds since 1970,
 *   in order of time
 * @param {string} props.top the largest value as text
 * @param {string} props.bottom the smallest value as text
 * @param {string} props.from the first day
 * @param {string} props.to the last one
 */
export function TimeSeries({ points, top, bottom, from, to }) {
  const x = along(
    points.map((point) => point.time),
    (share) => `${SIDE + share * (100 - 2 * SIDE)}%`,
  );
  const y = along(
    points.map((point) => point.value),
    (share) => HEIGHT - EDGE - share * (HEIGHT - 2 * EDGE),
  );
  const level = top === bottom;
  return html`<div class="dated-line figure small" aria-hidden="true">
    <div class=${level ? 'dated-values level' : 'dated-values'}>
    <span>${top}
    </span>
    ${!level && html`<span>${bottom}</span>`}
    </div>
    <svg width="100%" height=${HEIGHT} focusable="false">
      ${(level ? [HEIGHT / 2] : [EDGE, HEIGHT - EDGE]).map(
        (at) => html`<line class="ruled-line" x1="0" x2="100%"
          y1=${at} y2=${at} />`,
      )}
      ${points.slice(1).map(
        (point, index) => html`<line class="track" x1=${x(points[index]?.time ?? 0)}
          y1=${y(points[index]?.value ?? 0)} x2=${x(point.time)} y2=${y(point.value)} />`,
      )}
      ${points.map(
        (point) => html`<circle class=${point.filled ? 'dot filled' : 'dot'} cx=${x(point.time)}
          cy=${y(point.value)} r=${DOT} />`,
      )}
    </svg>
    <div class="dated-days"><span>${from}</span><span>${to}</span></div>
  </div>`;
}

/**
 * Map values linearly to positions.
 * @template T
 * @param {number[]} values
 * @param {(share: number) => T} place gets 0 for the smallest value, 1 for the largest, 0.5 if all
 *   are equal
 * @returns {(value: number) => T}
 */
function along(values, place) {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return (value) => place(high > low ? (value - low) / (high - low) : 0.5);
}

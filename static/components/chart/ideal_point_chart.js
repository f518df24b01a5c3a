// Axis with the ideal point as a dot, its interval as a bracket, and the tastings above it. A
// tasting's dot is higher the better it was liked, and filled if it was liked. Dots that overlap
// are merged into a larger one.
import { html } from '../../lib/ui.js';

const LINE_Y = 58;
const LINE_Y_ALONE = 14;
const DOTS_TOP = 6;
const DOTS_BOTTOM = 42;
const BEAD = 7;
const BRACKET = 13;
const DOT = 3;
const MAX_DOT_RADIUS = 8;
const BINS = 50;

/** @typedef {{ x: number, height: number, filled: boolean }} Dot height 0..1 */

/**
 * @param {object} props
 * @param {number} props.min
 * @param {number} props.max
 * @param {number | null} [props.low] ends of the interval, in the axis' unit
 * @param {number | null} [props.high]
 * @param {number | null} [props.mark] the ideal point
 * @param {'low' | 'high' | null} [props.open] the end towards which liking still rises; replaces
 *   the dot
 * @param {Dot[]} [props.dots] without them the chart is as low as its axis
 * @param {string} [props.label] accessible label; without it the chart is hidden from screen readers
 */
export function IdealPointChart({ min, max, low, high, mark, open, dots, label }) {
  const at = (/** @type {number} */ value) => `${((Math.min(max, Math.max(min, value)) - min) / (max - min)) * 100}%`;
  const lineY = dots ? LINE_Y : LINE_Y_ALONE;
  const bracketed = isNumber(low) && isNumber(high);
  return html`<svg class=${dots ? 'dots-line' : 'dots-line alone'} role=${label ? 'img' : undefined} aria-label=${label}
      aria-hidden=${label ? undefined : 'true'}>
    ${binned(dots ?? [], min, max).map(
      (dot) => html`<circle class=${dot.filled ? 'dot filled' : 'dot'} cx=${at(dot.x)}
        cy=${DOTS_BOTTOM - dot.height * (DOTS_BOTTOM - DOTS_TOP)} r=${dot.radius} />`,
    )}
    <line class="ruled-line" x1="0" x2="100%" y1=${lineY} y2=${lineY} />
    ${
      bracketed &&
      html`<line class="band" x1=${at(low)} x2=${at(high)} y1=${lineY} y2=${lineY} />
      ${[low, high].map(
        (end) => html`<line class="bracket" x1=${at(end)} x2=${at(end)} y1=${lineY - BRACKET}
          y2=${lineY + BRACKET} />`,
      )}`
    }
    ${isNumber(mark) && html`<circle class="target-marker" cx=${at(mark)} cy=${lineY} r=${BEAD} />`}
    ${open && html`<${Arrow} end=${open} lineY=${lineY} />`}
  </svg>`;
}

/**
 * Draw the arrow as a nested SVG at the end of the axis, because SVG paths take no percentages.
 * @param {{ end: 'low' | 'high', lineY: number }} props
 */
function Arrow({ end, lineY }) {
  const side = BEAD * 2;
  const path = end === 'high' ? `M0 0L${side} ${BEAD}L0 ${side}Z` : `M${side} 0L0 ${BEAD}L${side} ${side}Z`;
  return html`<svg class="arrow" x=${end === 'high' ? '100%' : '0'} y=${lineY - BEAD} width=${side} height=${side}
      overflow="visible">
    <path d=${path} transform=${end === 'high' ? `translate(${-side} 0)` : undefined} /></svg>`;
}

/**
 * Merge dots that would overlap into one whose area shows their number.
 * @param {Dot[]} dots
 * @param {number} min
 * @param {number} max
 */
function binned(dots, min, max) {
  /** @type {Map<string, Dot & { count: number }>} */
  const places = new Map();
  for (const dot of dots) {
    const bin = Math.round(((dot.x - min) / (max - min)) * BINS);
    const key = `${bin} ${dot.height}`;
    const found = places.get(key);
    if (found) found.count += 1;
    else places.set(key, { ...dot, x: min + (bin / BINS) * (max - min), count: 1 });
  }
  return [...places.values()].map((dot) => ({
    ...dot,
    radius: Math.min(MAX_DOT_RADIUS, DOT * Math.sqrt(1 + Math.log2(dot.count))),
  }));
}

/** @param {number | null | undefined} value @returns {value is number} */
function isNumber(value) {
  return typeof value === 'number' && Number.isFinite(value);
}

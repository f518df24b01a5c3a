// List row with a value and its interval on an axis that all rows share.
import { html } from '../../lib/ui.js';
import { NameAndLine } from '../layout/row.js';

const MIDDLE = '50%';
const DOT = 6;

/**
 * @param {object} props
 * @param {string} props.name
 * @param {unknown} [props.note] a small text under the name
 * @param {string} props.figure the value as text
 * @param {number} props.min
 * @param {number} props.max
 * @param {number} [props.tick] a value with a faint vertical line, such as the middle of the scale
 * @param {number} props.low
 * @param {number} props.high
 * @param {number} props.mark
 * @param {boolean} props.filled
 * @param {string} props.label accessible label with name, value and interval
 * @param {() => void} props.onOpen
 */
export function IntervalRow({ name, note, figure, min, max, tick, low, high, mark, filled, label, onOpen }) {
  return html`<li class="interval-row"><button type="button" onClick=${onOpen} aria-label=${label}>
    <span class="interval-name">
    <${NameAndLine} name=${name} line=${note || null} />
    </span>
    <span class="figure">${figure}</span>
    <${Interval} min=${min} max=${max} tick=${tick} low=${low} high=${high} mark=${mark} filled=${filled} />
  </button></li>`;
}

/**
 * @param {{ min: number, max: number, tick?: number | undefined, low: number, high: number, mark: number, filled:
 *   boolean }} props
 */
export function Interval({ min, max, tick, low, high, mark, filled }) {
  const at = (/** @type {number} */ value) => `${((Math.min(max, Math.max(min, value)) - min) / (max - min)) * 100}%`;
  return html`<svg class="dot-interval" aria-hidden="true">
    <line class="ruled-line" x1="0" x2="100%" y1=${MIDDLE} y2=${MIDDLE} />
    ${tick !== undefined && html`<line class="tick" x1=${at(tick)} x2=${at(tick)} y1="0" y2="100%" />`}
    <line class="band" x1=${at(low)} x2=${at(high)} y1=${MIDDLE} y2=${MIDDLE} />
    <circle class=${filled ? 'dot filled' : 'dot'} cx=${at(mark)} cy=${MIDDLE} r=${filled ? DOT : DOT - 1} />
  </svg>`;
}

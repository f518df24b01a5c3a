// Slider with two handles for a preferred range. A handle at the end of the axis means no limit.
import { html, useRef, useState } from '../../lib/ui.js';
import { snap } from './slider_scale.js';

const KEYS = /** @type {Record<string, number>} */ ({
  ArrowRight: 1,
  ArrowUp: 1,
  ArrowLeft: -1,
  ArrowDown: -1,
  PageUp: 10,
  PageDown: -10,
});

/**
 * @param {object} props
 * @param {string} props.lowLabel
 * @param {string} props.highLabel
 * @param {number} props.min
 * @param {number} props.max
 * @param {number} props.step
 * @param {number | null | undefined} props.low
 * @param {number | null | undefined} props.high
 * @param {(low: number | null, high: number | null) => void} props.onChange
 * @param {(value: number) => string} props.format
 * @param {unknown} [props.children] drawn over the axis, such as a histogram
 */
export function RangeSlider({ lowLabel, highLabel, min, max, step, low, high, onChange, format, children }) {
  const line = useRef(/** @type {HTMLElement | null} */ (null));
  const [dragged, setDragged] = useState(/** @type {[number, number] | null} */ (null));
  const [from, to] = dragged ?? [low ?? min, high ?? max];
  // Key events may come faster than renders, so each continues from the last value passed on.
  const ends = useRef([from, to]);
  ends.current = [from, to];
  const give = (/** @type {number} */ a, /** @type {number} */ b) => {
    ends.current = [a, b];
    onChange(a <= min ? null : a, b >= max ? null : b);
  };
  const share = (/** @type {number} */ value) => `${((value - min) / (max - min)) * 100}%`;
  const moved = (/** @type {0 | 1} */ end, /** @type {number} */ value) =>
    /** @type {[number, number]} */ (end === 0 ? [Math.min(value, to), to] : [from, Math.max(value, from)]);
  const at = (/** @type {PointerEvent} */ event) => {
    const box = /** @type {HTMLElement} */ (line.current).getBoundingClientRect();
    return snap(min + ((max - min) * (event.clientX - box.left)) / box.width, { min, max, step });
  };
  const bead = (
    /** @type {0 | 1} */ end,
    /** @type {string} */ label,
    /** @type {number} */ value,
  ) => html`<span class="handle" role="slider" tabindex="0" aria-label=${label}
    aria-valuemin=${min} aria-valuemax=${max} aria-valuenow=${value} aria-valuetext=${format(value)}
        style=${{ left: share(value) }}
    onPointerDown=${(/** @type {PointerEvent} */ event) => {
      /** @type {HTMLElement} */ (event.currentTarget).setPointerCapture(event.pointerId);
      setDragged([from, to]);
    }}
    onPointerMove=${(/** @type {PointerEvent} */ event) => {
      if (dragged) setDragged(moved(end, at(event)));
    }}
    onPointerUp=${() => {
      if (dragged) give(dragged[0], dragged[1]);
      setDragged(null);
    }}
    onPointerCancel=${() => setDragged(null)}
    onKeyDown=${(/** @type {KeyboardEvent} */ event) => {
      const steps = KEYS[event.key];
      if (steps === undefined) return;
      event.preventDefault();
      const [a = min, b = max] = ends.current;
      const next = snap((end === 0 ? a : b) + steps * step, { min, max, step });
      give(end === 0 ? Math.min(next, b) : a, end === 0 ? b : Math.max(next, a));
    }}></span>`;
  return html`<div class="range-line" ref=${line}>
    ${children}
    <span class="span" style=${{ left: share(from), right: `${100 - ((to - min) / (max - min)) * 100}%` }}></span>
    ${bead(0, lowLabel, from)}${bead(1, highLabel, to)}
  </div>`;
}

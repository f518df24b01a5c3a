// Slider for a rating. It is empty until rated, because a default value would bias the rating.
import { html, useId, useRef, useState } from '../../lib/ui.js';
import { number } from '../../lib/format.js';
import { t } from '../../i18n.js';

const SLIDE_PX = 8;
const KEY_STEPS = /** @type {Record<string, number>} */ ({
  ArrowRight: 1,
  ArrowUp: 1,
  ArrowLeft: -1,
  ArrowDown: -1,
  PageUp: 4,
  PageDown: -4,
});

/**
 * @param {object} props
 * @param {string} props.label
 * @param {string} props.low label of the left end
 * @param {string} props.high label of the right end
 * @param {number | null | undefined} props.value
 * @param {(value: number | null) => void} props.onChange
 * @param {number} [props.min]
 * @param {number} [props.max]
 * @param {number} [props.step] step of the pointer
 * @param {number} [props.keyStep] step of an arrow key
 * @param {(value: number) => string} [props.format] value as text
 * @param {boolean} [props.notched] whether each step has a tick
 * @param {boolean} [props.disabled]
 * @param {unknown} [props.children]
 */
export function SliderScale({
  label,
  low,
  high,
  value,
  onChange,
  min = 0,
  max = 10,
  step = 0.1,
  keyStep = 0.5,
  format = (v) => number(v),
  notched = false,
  disabled = false,
  children,
}) {
  const id = useId();
  const line = useRef(/** @type {HTMLElement | null} */ (null));
  const { held: dragged, handlers } = useSlide(line, { min, max, step }, onChange);
  const current = dragged ?? value ?? null;
  const isBlank = disabled || (value ?? null) === null;
  const clear = () => {
    onChange(null);
    // The button gets disabled.
    line.current?.focus({ preventScroll: true });
  };
  const key = (/** @type {KeyboardEvent} */ event) => {
    const next = keyed(event.key, value ?? null, { min, max, keyStep });
    if (next === undefined) return;
    event.preventDefault();
    onChange(next);
  };

  return html`<div class="scale">
    <div class=${`scale-head${notched ? ' in-words' : ''}${isBlank ? ' blank' : ''}`}>
      <span class="scale-name" id=${id}>${label}</span>
      <span class="scale-text">${current === null ? t('parts.not_judged') : format(current)}</span>
      <button type="button" class="scale-clear" disabled=${isBlank}
          aria-label=${t('parts.clear_named', { name: label })} onClick=${clear}>
        ${t('parts.clear')}
      </button>
    </div>
    <div class="scale-line" ref=${line} role="slider" tabindex=${disabled ? -1 : 0} aria-labelledby=${id}
        aria-valuemin=${min} aria-valuemax=${max} aria-valuenow=${current ?? min}
      aria-valuetext=${current === null ? t('parts.not_judged') : format(current)} data-judged=${current !== null}
      aria-disabled=${disabled ? 'true' : undefined} ...${disabled ? {} : { onKeyDown: key, ...handlers }}>
      ${notches(notched ? Math.round((max - min) / step) : 2).map(
        (share) => html`<${Mark}
          className=${share === 0.5 && !notched ? 'notch middle' : 'notch'} share=${share} />`,
      )}
      <${Mark} className="handle" share=${current === null ? 0 : (current - min) / (max - min)} />
    </div>
    <div class="scale-ends" aria-hidden="true"><span>${low}</span><span>${high}</span></div>
    ${children}
  </div>`;
}

/**
 * Follow a pointer along the track: show values while it moves, pass on the value where it is
 * released.
 *
 * @param {{ current: HTMLElement | null }} line
 * @param {{ min: number, max: number, step: number }} limits
 * @param {(value: number) => void} onChange
 */
function useSlide(line, limits, onChange) {
  const [dragged, setDragged] = useState(/** @type {number | null} */ (null));
  const start = useRef(/** @type {{ x: number, sliding: boolean } | null} */ (null));

  const at = (/** @type {PointerEvent} */ event) => {
    const { min, max } = limits;
    const box = /** @type {HTMLElement} */ (line.current).getBoundingClientRect();
    return snap(min + ((max - min) * (event.clientX - box.left)) / box.width, limits);
  };
  const down = (/** @type {PointerEvent} */ event) => {
    start.current = { x: event.clientX, sliding: false };
  };
  const move = (/** @type {PointerEvent} */ event) => {
    const began = start.current;
    if (!began) return;
    if (!began.sliding && Math.abs(event.clientX - began.x) > SLIDE_PX) {
      began.sliding = true;
      line.current?.setPointerCapture(event.pointerId);
    }
    if (began.sliding) setDragged(at(event));
  };
  const up = (/** @type {PointerEvent} */ event) => {
    if (start.current) onChange(at(event));
    start.current = null;
    setDragged(null);
  };
  // A vertical swipe that begins on the track scrolls the page and must not set a value.
  const cancel = () => {
    start.current = null;
    setDragged(null);
  };
  return {
    held: dragged,
    handlers: { onPointerDown: down, onPointerMove: move, onPointerUp: up, onPointerCancel: cancel },
  };
}

/**
 * The position is set through the style object; the content security policy forbids style
 * attributes.
 */
/** @param {{ className: string, share: number }} props */
function Mark({ className, share }) {
  return html`<span class=${className} style=${{ left: `${share * 100}%` }}></span>`;
}

/** @param {number} parts */
function notches(parts) {
  return Array.from({ length: parts + 1 }, (_, index) => index / parts);
}

/** @param {number} value @param {{ min: number, max: number, step: number }} scale */
export function snap(value, { min, max, step }) {
  const stepped = min + Math.round((value - min) / step) * step;
  return Math.min(max, Math.max(min, Number(stepped.toFixed(4))));
}

/**
 * @param {string} key
 * @param {number | null} value
 * @param {{ min: number, max: number, keyStep: number }} scale
 */
function keyed(key, value, { min, max, keyStep }) {
  if (key === 'Home') return min;
  if (key === 'End') return max;
  if (key === 'Delete' || key === 'Backspace') return null;
  const steps = KEY_STEPS[key];
  if (steps === undefined) return undefined;
  return Math.min(max, Math.max(min, (value ?? (min + max) / 2) + steps * keyStep));
}

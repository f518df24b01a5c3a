// Image on which two marks are set by tap or keyboard: arrow keys move the next mark, Enter sets
// it.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { percent } from '../../../lib/format.js';

/** @typedef {{ across: number, down: number }} Point as shares of width and height */

export const MARKS = /** @type {const} */ (['white', 'wine']);
const STEP = 0.02;
const LARGE_STEP = 0.1;
const DIRECTIONS = /** @type {Record<string, [number, number]>} */ ({
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
});
const MIDDLE = { across: 0.5, down: 0.5 };

/**
 * @param {{ canvas: { current: HTMLCanvasElement | null }, width: number, height: number, points:
 *   Point[], onSet: (spot: Point) => void }} props spots: the set marks, white first
 */
export function ImageMarker({ canvas, width, height, points, onSet }) {
  const [moved, setMoved] = useState(/** @type {Point | null} */ (null));
  const next = MARKS[points.length % MARKS.length] ?? 'white';
  const at = moved ?? points.at(-1) ?? MIDDLE;
  const tap = (/** @type {MouseEvent} */ event) => {
    const box = /** @type {HTMLElement} */ (event.currentTarget).getBoundingClientRect();
    setMoved(null);
    onSet({ across: (event.clientX - box.left) / box.width, down: (event.clientY - box.top) / box.height });
  };
  const press = (/** @type {KeyboardEvent} */ event) => {
    const direction = DIRECTIONS[event.key];
    if (direction) setMoved(shifted(at, direction, event.shiftKey ? LARGE_STEP : STEP));
    else if (event.key === 'Enter' || event.key === ' ') {
      setMoved(null);
      onSet(at);
    } else return;
    event.preventDefault();
  };
  const label = t('pour.photo_picture', {
    mark: t(`pour.photo_mark_${next}`),
    across: percent(at.across),
    down: percent(at.down),
  });
  return html`<div class="marked-picture" role="button" tabindex="0" aria-label=${label} onClick=${tap}
      onKeyDown=${press} onBlur=${() => setMoved(null)}>
    <canvas ref=${canvas} width=${width} height=${height}></canvas>
    ${(points.length === MARKS.length && moved ? [] : points).map(
      (point, index) => html`<span key=${MARKS[index]}
        class="photo-mark set" style=${placed(point)} aria-hidden="true">
      ${index + 1}
    </span>`,
    )}
    ${moved && html`<span class="photo-mark" style=${placed(moved)} aria-hidden="true"></span>`}
  </div>`;
}

/** @param {Point} spot @param {[number, number]} way @param {number} by @returns {Point} */
function shifted({ across, down }, [right, below], by) {
  const clamp = (/** @type {number} */ share) => Math.min(1, Math.max(0, share));
  return { across: clamp(across + right * by), down: clamp(down + below * by) };
}

/** @param {Point} spot */
function placed({ across, down }) {
  return { left: `${across * 100}%`, top: `${down * 100}%` };
}

// Image on which two marks are set by tap or keyboard: arrow keys move the next mark, Enter sets
// it.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { percent } from '../../../lib/format.js';

/** @typedef {{ across: number, down: number }} Spot as shares of width and height */

export const MARKS = /** @type {const} */ (['white', 'wine']);
const STEP = 0.02;
const STRIDE = 0.1;
const WAYS = /** @type {Record<string, [number, number]>} */ ({
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
});
const MIDDLE = { across: 0.5, down: 0.5 };

/**
 * @param {{ canvas: { current: HTMLCanvasElement | null }, width: number, height: number, spots:
 *   Spot[], onSet: (spot: Spot) => void }} props spots: the set marks, white first
 */
export function ImageMarker({ canvas, width, height, spots, onSet }) {
  const [moved, setMoved] = useState(/** @type {Spot | null} */ (null));
  const next = MARKS[spots.length % MARKS.length] ?? 'white';
  const at = moved ?? spots.at(-1) ?? MIDDLE;
  const tap = (/** @type {MouseEvent} */ event) => {
    const box = /** @type {HTMLElement} */ (event.currentTarget).getBoundingClientRect();
    setMoved(null);
    onSet({ across: (event.clientX - box.left) / box.width, down: (event.clientY - box.top) / box.height });
  };
  const press = (/** @type {KeyboardEvent} */ event) => {
    const way = WAYS[event.key];
    if (way) setMoved(shifted(at, way, event.shiftKey ? STRIDE : STEP));
    else if (event.key === 'Enter' || event.key === ' ') {
      setMoved(null);
      onSet(at);
    } else return;
    event.preventDefault();
  };
  const said = t('pour.photo_picture', {
    mark: t(`pour.photo_mark_${next}`),
    across: percent(at.across),
    down: percent(at.down),
  });
  return html`<div class="marked-picture" role="button" tabindex="0" aria-label=${said} onClick=${tap}
      onKeyDown=${press} onBlur=${() => setMoved(null)}>
    <canvas ref=${canvas} width=${width} height=${height}></canvas>
    ${(spots.length === MARKS.length && moved ? [] : spots).map(
      (spot, index) => html`<span key=${MARKS[index]}
        class="photo-mark set" style=${placed(spot)} aria-hidden="true">
      ${index + 1}
    </span>`,
    )}
    ${moved && html`<span class="photo-mark" style=${placed(moved)} aria-hidden="true"></span>`}
  </div>`;
}

/** @param {Spot} spot @param {[number, number]} way @param {number} by @returns {Spot} */
function shifted({ across, down }, [right, below], by) {
  const held = (/** @type {number} */ share) => Math.min(1, Math.max(0, share));
  return { across: held(across + right * by), down: held(down + below * by) };
}

/** @param {Spot} spot */
function placed({ across, down }) {
  return { left: `${across * 100}%`, top: `${down * 100}%` };
}

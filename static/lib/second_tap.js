// Stops the second tap of a double tap at the thumb or on a button with `data-once`, because by then another button,
// row or page may stand at its place.

/** Two taps so near each other are a double tap. Phones do not count taps in `detail`; on iOS it is always 1. */
const WITHIN_MS = 350;
const WITHIN_PX = 24;
const GUARDED = '.at-thumb, [data-once]';

let last = { timeStamp: -Infinity, x: 0, y: 0, isGuarded: false };

/** Where and when the page was last pressed. */
export const lastPress = () => last;

/** @param {MouseEvent} press a click, before any element gets it */
export function stopSecondTap(press) {
  const { detail, timeStamp, clientX: x, clientY: y } = press;
  // The keyboard presses what has the focus, wherever that stands.
  if (!detail) return;
  const isGuarded = /** @type {Element} */ (press.target).closest(GUARDED) !== null;
  const isNear = timeStamp - last.timeStamp < WITHIN_MS && Math.hypot(x - last.x, y - last.y) < WITHIN_PX;
  // Elsewhere a fast second tap may repeat what the first one did.
  if ((isNear || detail > 1) && (isGuarded || last.isGuarded)) {
    press.stopPropagation();
    press.preventDefault();
  }
  last = { timeStamp, x, y, isGuarded };
}

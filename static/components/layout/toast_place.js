// Where a toast lies: at the top of what is visible, or above the bars at the bottom if the top was just touched.
import { lastPress } from '../../lib/second_tap.js';
import './undo_key.js';

const GAP_PX = 8;
/** A touch before that is over: the page under it is read, or another one. */
const JUST_MS = 2_000;

/** @param {HTMLElement} box */
export function placeToast(box) {
  const { classList, style } = document.documentElement;
  const edge = (/** @type {Element} */ one) => one.getBoundingClientRect();
  const isTitleSeen = [...document.querySelectorAll('.page-head')].some((head) => edge(head).bottom > 0);
  // Before the height is read, because the toast is narrower beside the way back and the settings.
  classList.toggle('toast-off-title', !isTitleSeen);
  const { offsetTop: start = 0, height: seen = innerHeight } = visualViewport ?? {};
  const bars = [...document.querySelectorAll('.at-thumb, .main-nav, .new-version')].map((bar) => edge(bar).top);
  const press = lastPress();
  const touchedY = performance.now() - press.timeStamp < JUST_MS ? press.y : Infinity;
  const top = toastTop({ height: box.offsetHeight, touchedY, visible: { top: start, bottom: start + seen }, bars });
  const isLow = top > start;
  classList.toggle('toast-off-title', !isTitleSeen || isLow);
  classList.toggle('toast-low', isLow);
  style.setProperty('--toast', `${box.offsetHeight}px`);
  style.setProperty('--toast-top', `${top}px`);
}

/**
 * @param {{ height: number, touchedY: number, visible: { top: number, bottom: number }, bars: number[] }} page px from
 *   the top of the window: the visible part (less with a keyboard), and the upper edges of the fixed bars
 * @returns {number} px from the top of the window
 */
export function toastTop({ height, touchedY, visible, bars }) {
  if (touchedY - visible.top >= height + GAP_PX) return visible.top;
  const middle = (visible.top + visible.bottom) / 2;
  const floor = Math.min(visible.bottom, ...bars.filter((top) => top > middle));
  return Math.max(visible.top, floor - height - GAP_PX);
}

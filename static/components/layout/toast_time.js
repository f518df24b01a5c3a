// How long a toast stays.

/** Time to notice the toast, and with an undo button also to decide. */
const NOTICE_MS = 3_000;
const DECIDE_MS = 4_000;
/** A slow reader's time for one character: about 12 characters a second. */
const CHARACTER_MS = 80;

/**
 * @param {string} text
 * @param {boolean} withUndo
 * @returns {number} ms
 */
export function visibleMs(text, withUndo) {
  return NOTICE_MS + (withUndo ? DECIDE_MS : 0) + CHARACTER_MS * text.length;
}

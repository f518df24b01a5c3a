// How large the taster has the letters.

/** @returns {number} CSS px in one rem; 16, where the browser's own setting was left alone */
export function remPx() {
  return parseFloat(getComputedStyle(document.documentElement).fontSize);
}

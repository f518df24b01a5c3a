/** Return the root font size. @returns {number} px; 16 with the browser's default setting */
export function remPx() {
  return parseFloat(getComputedStyle(document.documentElement).fontSize);
}

// Places for the names beside the points of a drawing, so that no name covers another or a point. Pure.

/**
 * @typedef {{ x: number, y: number, text: string }} Point
 * @typedef {{ x: number, y: number, anchor: 'start' | 'middle' | 'end' }} Place of the baseline
 * @typedef {{ left: number, right: number, top: number, bottom: number }} Box
 */

/** Of a typeface of 15 units. */
const LETTER = 8;
/** Letters as wide as the typeface is high. */
const WIDE = /[\p{sc=Han}\p{sc=Hangul}\p{sc=Hiragana}\p{sc=Katakana}\uff01-\uff60]/u;
const LINE = 16;
const DOT = 5;
const ABOVE = -10;
const BELOW = 20;

/**
 * Put each name above its point, else below, else a line further away.
 * @param {readonly Point[]} points
 * @param {number} size of the square drawing
 * @returns {Place[]} in the order of the points; a name that fits nowhere stands above its point
 */
export function labelPlaces(points, size) {
  const taken = points.map(({ x, y }) => ({ left: x - DOT, right: x + DOT, top: y - DOT, bottom: y + DOT }));
  const lines = Math.ceil(size / LINE);
  const offsets = Array.from({ length: lines }, (_, line) => [ABOVE - line * LINE, BELOW + line * LINE]).flat();
  return points.map((point) => {
    const anchor = anchorAt(point.x, size);
    const boxes = offsets.map((offset) => boxAt(point, offset, anchor));
    const isFree = (/** @type {Box} */ box) =>
      box.top >= 0 && box.bottom <= size && !taken.some((other) => overlap(box, other));
    const at = Math.max(0, boxes.findIndex(isFree));
    taken.push(/** @type {Box} */ (boxes[at]));
    return { x: point.x, y: point.y + Number(offsets[at]), anchor };
  });
}

/**
 * Choose the side from which a name grows; beside the edge it grows inwards.
 * @param {number} x
 * @param {number} size
 * @returns {Place['anchor']}
 */
function anchorAt(x, size) {
  return x < size / 4 ? 'start' : x > (size * 3) / 4 ? 'end' : 'middle';
}

/** @param {Point} point @param {number} offset @param {Place['anchor']} anchor @returns {Box} */
function boxAt({ x, y, text }, offset, anchor) {
  const width = [...text].reduce((sum, letter) => sum + (WIDE.test(letter) ? 2 : 1) * LETTER, 0);
  const left = x - { start: 0, middle: width / 2, end: width }[anchor];
  return { left, right: left + width, top: y + offset - LINE + 4, bottom: y + offset + 4 };
}

/** @param {Box} one @param {Box} other */
function overlap(one, other) {
  return one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom;
}

// Sets lines of print below each other on a clean page: straight, at one size, without what lies between them.
import { sample } from './gray.js';
import { evened } from './even_light.js';

/** @typedef {import('./gray.js').Gray} Gray */
/** @typedef {import('./gray.js').Cut} Cut */
/** @typedef {import('./even_light.js').Light} Light */
/** @typedef {import('./lines.js').PrintLine} PrintLine */
/**
 * @typedef {{ line: PrintLine, from: number, left: number, right: number, top: number, bottom: number, scale: number
 *   }} Slot where a line stands on the page; `from`: what stands at its left, in the piece; the slots of a row have the
 *   same top and bottom
 */
/**
 * @typedef {Object} Source where the lines were found
 * @property {Gray} photo the whole photo, in more detail
 * @property {Cut} cut the piece of it in which the lines were found
 * @property {Gray} piece that piece
 * @property {Light} light of the piece
 */

const MARGIN_PX = 40;
const WHITE = 255;
/** In heights of a letter: what is shown beside a line, and beside one that stands in a row with others. */
const AROUND = 1;
const BETWEEN = 0.4;

/**
 * @param {Source} source
 * @param {PrintLine[][]} rows lines that are set beside each other, from left to right
 * @param {number} letterPx the height that their letters get
 * @returns {{ page: Gray, slots: Slot[] }}
 */
export function composePage(source, rows, letterPx) {
  /** @type {Slot[]} */
  const slots = [];
  let [y, width] = [MARGIN_PX, 0];
  for (const row of rows) {
    const around = (row.length > 1 ? BETWEEN : AROUND) * letterPx;
    const up = Math.max(...row.map((line) => (line.up * letterPx) / line.letter));
    const down = Math.max(...row.map((line) => (line.down * letterPx) / line.letter));
    const bottom = y + Math.ceil(up + down);
    let x = MARGIN_PX;
    for (const line of row) {
      const scale = letterPx / line.letter;
      const right = x + Math.ceil((line.right - line.left) * scale + 2 * around);
      const from = line.left - around / scale;
      slots.push({ line: { ...line, up: up / scale }, from, left: x, right, top: y, bottom, scale });
      x = right;
    }
    y = bottom + MARGIN_PX;
    width = Math.max(width, x);
  }
  const full = width + MARGIN_PX;
  const page = { data: new Uint8Array(full * y).fill(WHITE), width: full, height: y };
  for (const slot of slots) draw(source, slot, page);
  return { page, slots };
}

/**
 * Return the box in the piece of a box on the page.
 * @param {Slot} slot
 * @param {{ left: number, top: number, right: number, bottom: number }} rect
 */
export function boxOfSlot({ line, from, left: start, top, scale }, rect) {
  const left = from + (rect.left - start) / scale;
  const right = from + (rect.right - start) / scale;
  const first = baseAt(line, (left + right) / 2) - line.up;
  return { left, right, top: first + (rect.top - top) / scale, bottom: first + (rect.bottom - top) / scale };
}

/** @param {PrintLine} line @param {number} x */
function baseAt({ left, right, base: [a, b, c] }, x) {
  const from = x - (left + right) / 2;
  return a + b * from + c * from * from;
}

/** @param {Source} source @param {Slot} slot @param {Gray} page */
function draw({ photo, cut, piece, light }, { line, from, left, right, top, bottom, scale }, page) {
  const [cos, sin] = [Math.cos(cut.angle) / cut.scale, Math.sin(cut.angle) / cut.scale];
  // Large letters are taken from the smaller picture, in which fine grain is averaged.
  const isLarge = scale < 0.7;
  for (let u = left; u < right; u += 1) {
    const x = from + (u - left + 0.5) / scale;
    const first = baseAt(line, x) - line.up;
    for (let v = top; v < bottom; v += 1) {
      const y = first + (v - top + 0.5) / scale;
      const [px, py] = [x | 0, y | 0];
      if (x < 0 || y < 0 || px >= piece.width || py >= piece.height) continue;
      const [dx, dy] = [x - cut.width / 2, y - cut.height / 2];
      const value = isLarge
        ? sample(piece, x - 0.5, y - 0.5)
        : sample(photo, cut.x + dx * cos - dy * sin - 0.5, cut.y + dx * sin + dy * cos - 0.5);
      const at = py * piece.width + px;
      page.data[v * page.width + u] = evened(value, Number(light.mean[at]), Number(light.spread[at]));
    }
  }
}

// Sets lines of print below each other on a clean page: straight, at one size, without what lies between them.
import { sample } from './gray.js';
import { evened } from './even_light.js';

/** @typedef {import('./gray.js').Gray} Gray */
/** @typedef {import('./gray.js').Cut} Cut */
/** @typedef {import('./even_light.js').Light} Light */
/** @typedef {import('./lines.js').PrintLine} PrintLine */
/** @typedef {{ line: PrintLine, top: number, bottom: number, scale: number }} Slot where a line stands on the page */
/**
 * @typedef {Object} Source where the lines were found
 * @property {Gray} photo the whole photo, in more detail
 * @property {Cut} cut the piece of it in which the lines were found
 * @property {Gray} piece that piece
 * @property {Light} light of the piece
 */

const MARGIN_PX = 40;
const WHITE = 255;

/**
 * @param {Source} source
 * @param {PrintLine[]} lines
 * @param {number} letterPx the height that their letters get
 * @returns {{ page: Gray, slots: Slot[] }}
 */
export function composePage(source, lines, letterPx) {
  /** @type {Slot[]} */
  const slots = [];
  let [y, width] = [MARGIN_PX, 0];
  for (const line of lines) {
    const scale = letterPx / line.letter;
    const rows = Math.ceil((line.up + line.down) * scale);
    slots.push({ line, top: y, bottom: y + rows, scale });
    y += rows + MARGIN_PX;
    width = Math.max(width, Math.ceil((line.right - line.left + 2 * line.letter) * scale));
  }
  const full = width + 2 * MARGIN_PX;
  const page = { data: new Uint8Array(full * y).fill(WHITE), width: full, height: y };
  for (const slot of slots) draw(source, slot, page);
  return { page, slots };
}

/**
 * Return the box in the piece of a box on the page.
 * @param {Slot} slot
 * @param {{ left: number, top: number, right: number, bottom: number }} rect
 */
export function boxOfSlot({ line, top, scale }, rect) {
  const left = line.left - line.letter + (rect.left - MARGIN_PX) / scale;
  const right = line.left - line.letter + (rect.right - MARGIN_PX) / scale;
  const first = baseAt(line, (left + right) / 2) - line.up;
  return { left, right, top: first + (rect.top - top) / scale, bottom: first + (rect.bottom - top) / scale };
}

/** @param {PrintLine} line @param {number} x */
function baseAt({ left, right, base: [a, b, c] }, x) {
  const from = x - (left + right) / 2;
  return a + b * from + c * from * from;
}

/** @param {Source} source @param {Slot} slot @param {Gray} page */
function draw({ photo, cut, piece, light }, { line, top, bottom, scale }, page) {
  const width = Math.ceil((line.right - line.left + 2 * line.letter) * scale);
  const [cos, sin] = [Math.cos(cut.angle) / cut.scale, Math.sin(cut.angle) / cut.scale];
  // Large letters are taken from the smaller picture, in which fine grain is averaged.
  const isLarge = scale < 0.7;
  for (let u = 0; u < width; u += 1) {
    const x = line.left - line.letter + (u + 0.5) / scale;
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
      page.data[v * page.width + MARGIN_PX + u] = evened(value, Number(light.mean[at]), Number(light.spread[at]));
    }
  }
}

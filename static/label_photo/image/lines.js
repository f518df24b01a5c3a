// Joins pieces of ink into lines of print.
import { baseLines } from './base_line.js';

/** @typedef {import('./components.js').Piece} Piece */
/**
 * @typedef {Object} PrintLine a line of print: its box, the usual height of its letters, its base line as
 *   y = a + b (x - middle) + c (x - middle)^2, and how far its letters reach above and below that
 * @property {number} left
 * @property {number} top
 * @property {number} right
 * @property {number} bottom
 * @property {number} letter
 * @property {[number, number, number]} base
 * @property {number} up
 * @property {number} down
 */

const SMALLEST_LETTER_PX = 7;
/** Of the height of the picture. */
const LARGEST_LETTER = 0.12;
/** In heights of a letter: the widest gap within a line, and the largest difference of heights and of bases. */
const GAP = 1.9;
const HEIGHTS = 2.4;
const JOINED_GAP = 1.5;
/** The share of the letters that are lower than the usual height. */
const TALL = 0.6;
/** In heights of a letter: room above and below, for accents and commas. */
const ROOM = 0.4;
/** A line of fewer letters is decoration, unless it is so wide that its letters have run into each other. */
const FEWEST_LETTERS = 2;
const BLURRED_WIDTH = 1.05;

/** In heights of a letter: how far the right edges of a column may be apart. */
const COLUMN = 0.5;
/** So many lines with the same right edge are a column. */
const COLUMN_LINES = 2;

/**
 * @param {Piece[]} pieces
 * @param {number} height of the picture
 * @param {boolean} [inColumns] keep a short line below or above others with the same right edge
 * @returns {PrintLine[]} from top to bottom
 */
export function printLines(pieces, height, inColumns = false) {
  const letters = pieces.filter((piece) => isLetter(piece, height)).sort((a, b) => a.left - b.left);
  /** @type {Piece[][]} */
  const lines = [];
  for (const letter of letters) {
    const line = nearest(lines, letter);
    if (line) line.push(letter);
    else lines.push([letter]);
  }
  const all = continued(merged(lines));
  const long = all.filter(isLong);
  const found = inColumns ? all.filter((line) => long.includes(line) || isInColumn(line, long)) : long;
  return baseLines(found)
    .map((base, at) => lineOf(/** @type {Piece[]} */ (found[at]), base))
    .sort((a, b) => a.top - b.top);
}

/** @param {Piece[]} line */
function isLong(line) {
  return widthOf(line) > (line.length >= FEWEST_LETTERS ? 0.75 : BLURRED_WIDTH) * usualHeight(line);
}

/** @param {Piece[]} line @param {Piece[][]} others */
function isInColumn(line, others) {
  const height = usualHeight(line);
  const end = boxOf(line).right;
  const same = others.filter((other) => {
    const ratio = usualHeight(other) / height;
    return ratio > 0.7 && ratio < 1.4 && Math.abs(boxOf(other).right - end) <= COLUMN * height;
  });
  return same.length >= COLUMN_LINES;
}

/** @param {Piece} piece @param {number} height */
function isLetter(piece, height) {
  const [w, h] = [piece.right - piece.left, heightOf(piece)];
  if (h < SMALLEST_LETTER_PX || h > LARGEST_LETTER * height) return false;
  // Script is joined, so that a word is one piece.
  if (w > 14 * h || w < h * 0.08) return false;
  const filled = piece.ink / (w * h);
  return filled > 0.08 && (filled < 0.9 || w < 0.6 * h);
}

/** @param {Piece} piece */
const heightOf = (piece) => piece.bottom - piece.top;
/** @param {Piece[]} line */
const widthOf = (line) => Math.max(...line.map(({ right }) => right)) - Math.min(...line.map(({ left }) => left));

/** @param {Piece[][]} lines @param {Piece} letter @returns {Piece[] | undefined} the line that the letter continues */
function nearest(lines, letter) {
  let [best, least] = [/** @type {Piece[] | undefined} */ (undefined), Infinity];
  for (const line of lines) {
    for (const other of line.slice(-3)) {
      const gap = letter.left - other.right;
      const [small, large] = [heightOf(letter), heightOf(other)].sort((a, b) => a - b);
      if (gap > GAP * Number(large) || Number(large) > HEIGHTS * Number(small)) continue;
      const shared = Math.min(letter.bottom, other.bottom) - Math.max(letter.top, other.top);
      if (shared < 0.5 * Number(small)) continue;
      const distance = Math.max(0, gap) + Math.abs(letter.bottom - other.bottom);
      if (distance < least) [best, least] = [line, distance];
    }
  }
  return best;
}

/**
 * Join lines that overlap, such as the halves of letters that glare has cut.
 * @param {Piece[][]} lines
 */
function merged(lines) {
  /** @type {Piece[][]} */
  const out = [];
  for (const line of [...lines].sort((a, b) => b.length - a.length)) {
    const box = boxOf(line);
    const host = out.find((other) => {
      const around = boxOf(other);
      const shared = Math.min(box.bottom, around.bottom) - Math.max(box.top, around.top);
      const beside = Math.min(box.right, around.right) - Math.max(box.left, around.left);
      return shared > 0.6 * (box.bottom - box.top) && beside > 0.5 * (box.right - box.left);
    });
    if (host) host.push(...line);
    else out.push([...line]);
  }
  return out;
}

/** @param {Piece[]} line */
function boxOf(line) {
  return {
    left: Math.min(...line.map(({ left }) => left)),
    top: Math.min(...line.map(({ top }) => top)),
    right: Math.max(...line.map(({ right }) => right)),
    bottom: Math.max(...line.map(({ bottom }) => bottom)),
  };
}

/**
 * Join lines that continue each other, such as the parts of a statement with figures of several heights.
 * @param {Piece[][]} lines
 */
function continued(lines) {
  const out = lines.map((line) => ({ line, box: boxOf(line) }));
  for (let a = 0; a < out.length; a += 1)
    for (let b = 0; b < out.length; b += 1) {
      const [first, second] = [out[a], out[b]];
      if (a === b || !first || !second || !continues(first, second)) continue;
      first.line.push(...second.line);
      first.box = boxOf(first.line);
      out.splice(b, 1);
      [a, b] = [-1, out.length];
    }
  return out.map(({ line }) => line);
}

/** @typedef {{ line: Piece[], box: ReturnType<typeof boxOf> }} Boxed */

/** @param {Boxed} first @param {Boxed} second */
function continues(first, second) {
  const [small, large] = [usualHeight(first.line), usualHeight(second.line)].sort((a, b) => a - b);
  if (Number(large) > HEIGHTS * Number(small)) return false;
  const gap = Math.max(first.box.left, second.box.left) - Math.min(first.box.right, second.box.right);
  // Of a wide line only the end that is near counts, because it may be tilted.
  const near = (/** @type {Boxed} */ { line }, /** @type {Boxed} */ { box }) =>
    boxOf([...line].sort((a, b) => away(a, box) - away(b, box)).slice(0, 4));
  const [one, other] = [near(first, second), near(second, first)];
  const shared = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
  return gap <= JOINED_GAP * Number(large) && shared > 0.6 * Math.min(one.bottom - one.top, other.bottom - other.top);
}

/** @param {Piece} piece @param {{ left: number, right: number }} box */
const away = ({ left, right }, box) => Math.max(0, left - box.right, box.left - right);

/** @param {Piece[]} line */
const usualHeight = (line) => median(line.map(heightOf));

/** @param {Piece[]} line @param {[number, number, number]} base @returns {PrintLine} */
function lineOf(line, base) {
  const box = boxOf(line);
  const middle = (box.left + box.right) / 2;
  const heights = line.map(heightOf).sort((a, b) => a - b);
  const letter = Number(heights[Math.floor(heights.length * TALL)]);
  const at = (/** @type {Piece} */ { left, right }) => {
    const from = (left + right) / 2 - middle;
    return base[0] + base[1] * from + base[2] * from * from;
  };
  const up = Math.max(...line.map((piece) => at(piece) - piece.top));
  const down = Math.max(...line.map((piece) => piece.bottom - at(piece)));
  return {
    ...box,
    letter,
    base,
    up: Math.min(Math.max(up, letter), 2 * letter) + ROOM * letter,
    down: Math.min(Math.max(down, 0), letter) + ROOM * letter,
  };
}

/** @param {number[]} values */
function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return Number(sorted[sorted.length >> 1] ?? 0);
}

// Joins pieces of ink into lines of print.

/** @typedef {import('./components.js').Piece} Piece */
/**
 * @typedef {Object} PrintLine a line of print: its box, the usual height of its letters, and its base line as
 *   y = a + b (x - middle) + c (x - middle)^2
 * @property {number} left
 * @property {number} top
 * @property {number} right
 * @property {number} bottom
 * @property {number} letter
 * @property {[number, number, number]} base
 */

const SMALLEST_LETTER_PX = 7;
/** Of the height of the picture. */
const LARGEST_LETTER = 0.12;
/** In heights of a letter: the widest gap within a line, and the largest difference of heights and of bases. */
const GAP = 1.9;
const HEIGHTS = 2.4;
/** A line of fewer letters is decoration. */
const FEWEST_LETTERS = 2;

/**
 * @param {Piece[]} pieces
 * @param {number} height of the picture
 * @returns {PrintLine[]} from top to bottom
 */
export function printLines(pieces, height) {
  const letters = pieces.filter((piece) => isLetter(piece, height)).sort((a, b) => a.left - b.left);
  /** @type {Piece[][]} */
  const lines = [];
  for (const letter of letters) {
    const line = nearest(lines, letter);
    if (line) line.push(letter);
    else lines.push([letter]);
  }
  return merged(lines)
    .filter((line) => line.length >= FEWEST_LETTERS && widthOf(line) > 1.2 * median(line.map(heightOf)))
    .map(lineOf)
    .sort((a, b) => a.top - b.top);
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

/** @param {Piece[]} line @returns {PrintLine} */
function lineOf(line) {
  const box = boxOf(line);
  const middle = (box.left + box.right) / 2;
  const points = line.map(({ left, right, bottom }) => [(left + right) / 2 - middle, bottom]);
  return { ...box, letter: median(line.map(heightOf)), base: fitBase(points, box.right - box.left) };
}

/**
 * Fit the base line; letters that reach below it (g, comma) count less in a second fit.
 * @param {number[][]} points
 * @param {number} width
 * @returns {[number, number, number]}
 */
function fitBase(points, width) {
  const curved = points.length >= 8;
  const sloped = points.length >= 4;
  let weights = points.map(() => 1);
  /** @type {[number, number, number]} */
  let base = [0, 0, 0];
  for (let round = 0; round < 3; round += 1) {
    base = leastSquares(points, weights, sloped ? (curved ? 3 : 2) : 1, width / 2 || 1);
    const errors = points.map(([x = 0, y = 0]) => Math.abs(y - base[0] - base[1] * x - base[2] * x * x));
    const usual = Math.max(0.5, median(errors));
    weights = errors.map((error) => 1 / (1 + (error / usual) ** 2));
  }
  return base;
}

/**
 * @param {number[][]} points
 * @param {number[]} weights
 * @param {number} terms
 * @param {number} unit of x
 * @returns {[number, number, number]}
 */
function leastSquares(points, weights, terms, unit) {
  const sums = Array.from({ length: terms }, () => new Array(terms + 1).fill(0));
  points.forEach(([x = 0, y = 0], at) => {
    const powers = [1, x / unit, (x / unit) ** 2];
    for (let i = 0; i < terms; i += 1) {
      const row = /** @type {number[]} */ (sums[i]);
      for (let j = 0; j < terms; j += 1)
        row[j] = Number(row[j]) + Number(weights[at]) * Number(powers[i]) * Number(powers[j]);
      row[terms] = Number(row[terms]) + Number(weights[at]) * Number(powers[i]) * y;
    }
  });
  const [a = 0, b = 0, c = 0] = solve(sums);
  return [a, b / unit, c / unit ** 2];
}

/** @param {number[][]} rows of a linear system, each with its right side @returns {number[]} */
function solve(rows) {
  const n = rows.length;
  for (let i = 0; i < n; i += 1) {
    const pivot = /** @type {number[]} */ (rows[i]);
    const by = Number(pivot[i]) || 1e-9;
    for (let k = 0; k < n; k += 1) {
      if (k === i) continue;
      const row = /** @type {number[]} */ (rows[k]);
      const factor = Number(row[i]) / by;
      for (let j = i; j <= n; j += 1) row[j] = Number(row[j]) - factor * Number(pivot[j]);
    }
  }
  return rows.map((row, i) => Number(row[n]) / (Number(row[i]) || 1e-9));
}

/** @param {number[]} values */
function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return Number(sorted[sorted.length >> 1] ?? 0);
}

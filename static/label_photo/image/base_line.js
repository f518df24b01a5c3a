// Finds the base lines of lines of print: straight ones, tilted ones, and arcs around a bottle.

/** @typedef {import('./components.js').Piece} Piece */
/** @typedef {[number, number, number]} Base y = a + b x + c x^2 from the middle of the line */

/** A line of fewer letters has the slope and the bend of the others. */
const OWN_SLOPE_LETTERS = 8;
const STEEPEST = 0.12;

/**
 * @param {Piece[][]} lines
 * @returns {Base[]} the base line of each
 */
export function baseLines(lines) {
  const long = lines.filter((line) => line.length >= OWN_SLOPE_LETTERS);
  const own = new Map(long.map((line) => [line, fit(pointsOf(line), 3)]));
  const common = commonBend(own);
  return lines.map((line) => {
    const fitted = own.get(line);
    if (fitted && Math.abs(fitted[1]) <= STEEPEST) return fitted;
    const { middle, points } = pointsOf(line);
    const [b, c] = [common.slope + 2 * common.bend * middle, common.bend];
    const levels = points.map(([x = 0, y = 0]) => y - b * x - c * x * x);
    return [median(levels), b, c];
  });
}

/**
 * Return the slope at x = 0 and the bend on which the long lines agree, weighted by their width.
 * @param {Map<Piece[], Base>} fitted
 */
function commonBend(fitted) {
  let [weights, bend] = [0, 0];
  const lines = [...fitted].filter(([, [, b]]) => Math.abs(b) <= STEEPEST);
  for (const [line, [, , c]] of lines) {
    const weight = pointsOf(line).width ** 3;
    weights += weight;
    bend += weight * c;
  }
  if (!weights) return { slope: 0, bend: 0 };
  bend /= weights;
  let slope = 0;
  for (const [line, [, b]] of lines) {
    const { middle, width } = pointsOf(line);
    slope += (width ** 3 * (b - 2 * bend * middle)) / weights;
  }
  return { slope, bend };
}

/** @param {Piece[]} line */
function pointsOf(line) {
  const [left, right] = [Math.min(...line.map((piece) => piece.left)), Math.max(...line.map((piece) => piece.right))];
  const middle = (left + right) / 2;
  const points = line.map((piece) => [(piece.left + piece.right) / 2 - middle, piece.bottom]);
  return { middle, width: right - left, points };
}

/**
 * Fit a base line; letters that reach below it (g, comma) count less in each further round.
 * @param {{ points: number[][], width: number }} line
 * @param {number} terms
 * @returns {Base}
 */
function fit({ points, width }, terms) {
  let weights = points.map(() => 1);
  /** @type {Base} */
  let base = [0, 0, 0];
  for (let round = 0; round < 3; round += 1) {
    base = leastSquares(points, weights, terms, width / 2 || 1);
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
 * @returns {Base}
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

// Draws distances in a plane: classical scaling (Torgerson 1952); port of tests/reference/rules/taste_distances.py.

const MAX_SWEEPS = 60;
const ROUNDING = 1e-9;

/**
 * Place points in a plane so that their distances come close to the given ones. The point that is furthest from the
 * middle along an axis (the first of equals) is on its positive side, so that equal distances give equal drawings.
 * @param {readonly (readonly number[])[]} distances symmetric
 * @returns {{ points: [number, number][], shown: number | null }} `shown` is the share of the squared distances that
 *   the plane keeps; null if all points are the same
 */
export function classicalScaling(distances) {
  const { values, vectors } = eigen(centred(distances));
  // Smaller values are rounding errors, or negative because no space has these distances.
  const nothing = ROUNDING * Math.max(0, ...values);
  const axes = values.flatMap((value, at) => (value > nothing ? [{ value, at }] : []));
  axes.sort((a, b) => b.value - a.value);
  const total = axes.reduce((sum, { value }) => sum + value, 0);
  const drawn = axes.slice(0, 2);
  const [xs, ys] = drawn.map(({ value, at }) =>
    positive(vectors.map((row) => Number(row[at]))).map((entry) => entry * Math.sqrt(value)),
  );
  return {
    points: distances.map((_, row) => [xs?.[row] ?? 0, ys?.[row] ?? 0]),
    shown: total > 0 ? drawn.reduce((sum, { value }) => sum + value, 0) / total : null,
  };
}

/**
 * Return the scalar products about the middle: minus half of the squared distances, without the means of rows and
 * columns.
 * @param {readonly (readonly number[])[]} distances
 */
function centred(distances) {
  const n = distances.length;
  const halves = distances.map((row) => row.map((distance) => -(distance ** 2) / 2));
  const means = halves.map((row) => row.reduce((sum, value) => sum + value, 0) / n);
  const grand = means.reduce((sum, value) => sum + value, 0) / n;
  return halves.map((row, i) => row.map((value, j) => value - Number(means[i]) - Number(means[j]) + grand));
}

/**
 * Compute eigenvalues and eigenvectors (columns) of a symmetric matrix by Jacobi's rotations.
 * @param {number[][]} matrix changed in place
 */
function eigen(matrix) {
  const n = matrix.length;
  const vectors = matrix.map((_, i) => matrix.map((_, j) => (i === j ? 1 : 0)));
  const size = Math.sqrt(matrix.flat().reduce((sum, value) => sum + value ** 2, 0));
  for (let sweep = 0; sweep < MAX_SWEEPS; sweep += 1) {
    let left = 0;
    for (let p = 0; p < n; p += 1) {
      for (let q = p + 1; q < n; q += 1) {
        const off = Number(matrix[p]?.[q]);
        left = Math.max(left, Math.abs(off));
        if (off !== 0) rotate(matrix, vectors, p, q);
      }
    }
    if (left <= size * 1e-15) break;
  }
  return { values: matrix.map((row, i) => Number(row[i])), vectors };
}

/**
 * Make the entry (p, q) zero.
 * @param {number[][]} matrix changed in place
 * @param {number[][]} vectors changed in place
 * @param {number} p
 * @param {number} q
 */
function rotate(matrix, vectors, p, q) {
  const [rowP, rowQ] = [/** @type {number[]} */ (matrix[p]), /** @type {number[]} */ (matrix[q])];
  const ratio = (Number(rowQ[q]) - Number(rowP[p])) / (2 * Number(rowP[q]));
  const tangent = (ratio < 0 ? -1 : 1) / (Math.abs(ratio) + Math.sqrt(ratio ** 2 + 1));
  const cosine = 1 / Math.sqrt(tangent ** 2 + 1);
  const sine = tangent * cosine;
  for (const row of [...matrix, ...vectors]) {
    const [atP, atQ] = [Number(row[p]), Number(row[q])];
    row[p] = cosine * atP - sine * atQ;
    row[q] = sine * atP + cosine * atQ;
  }
  for (let k = 0; k < matrix.length; k += 1) {
    const [atP, atQ] = [Number(rowP[k]), Number(rowQ[k])];
    rowP[k] = cosine * atP - sine * atQ;
    rowQ[k] = sine * atP + cosine * atQ;
  }
}

/** @param {number[]} column */
function positive(column) {
  const most = Math.max(0, ...column.map(Math.abs));
  const furthest = column.find((entry) => Math.abs(entry) >= most - ROUNDING);
  return furthest !== undefined && furthest < 0 ? column.map((entry) => -entry) : column;
}

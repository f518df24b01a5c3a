// Whose likings are close; port of tests/reference/rules/taste_distances.py.

export const MIN_COMMON = 3;

/**
 * Compute the root mean square difference of two guests' likings over the glasses that both rated, in points, without
 * the difference of their mean levels: somebody who rates everything two points lower has the same taste.
 * @param {readonly (readonly (number | null)[])[]} likings a row for each guest, a column for each glass
 * @returns {{ distances: (number | null)[][], closest: (number | null)[] }} null with fewer than three common glasses;
 *   `closest` is the row of the closest other guest, the first of equals
 */
export function tasteDistances(likings) {
  const distances = likings.map((one, row) =>
    likings.map((other, column) => (row === column ? 0 : distance(one, other))),
  );
  return { distances, closest: distances.map(closestTo) };
}

/**
 * @param {readonly (number | null)[]} one
 * @param {readonly (number | null)[]} other
 */
function distance(one, other) {
  const differences = one.flatMap((value, glass) => {
    const compared = other[glass] ?? null;
    return value === null || compared === null ? [] : [value - compared];
  });
  const n = differences.length;
  if (n < MIN_COMMON) return null;
  const mean = differences.reduce((sum, value) => sum + value, 0) / n;
  return Math.sqrt(differences.reduce((sum, value) => sum + (value - mean) ** 2, 0) / n);
}

/**
 * @param {(number | null)[]} distances
 * @param {number} self
 */
function closestTo(distances, self) {
  let best = null;
  let least = Infinity;
  for (const [row, found] of distances.entries()) {
    // Rounding must not decide between equal distances.
    if (row === self || found === null || found >= least - 1e-9) continue;
    [best, least] = [row, found];
  }
  return best;
}

// Binary search. Pure.
/**
 * @param {number} low
 * @param {number} high
 * @param {(index: number) => boolean} isAfter true from some index on
 * @returns {number} that index, or `high`
 */
export function firstIndex(low, high, isAfter) {
  let [from, to] = [low, high];
  while (from < to) {
    const middle = (from + to) >> 1;
    if (isAfter(middle)) to = middle;
    else from = middle + 1;
  }
  return from;
}

/**
 * Put marks that would overlap on one axis into lanes, lowest first.
 * @template {{ at: number }} T
 * @param {T[]} marks `at` in any unit
 * @param {number} minDistance the smallest distance of two marks in one lane
 * @returns {(T & { lane: number })[]} by position
 */
export function assignLanes(marks, minDistance) {
  /** @type {(T & { lane: number })[]} */
  const placed = [];
  for (const mark of [...marks].sort((a, b) => a.at - b.at)) {
    let lane = 0;
    while (placed.some((other) => other.lane === lane && Math.abs(other.at - mark.at) < minDistance)) lane += 1;
    placed.push({ ...mark, lane });
  }
  return placed;
}

/**
 * Rank values, the lowest first; equal values share the mean of their ranks.
 * @param {readonly number[]} values
 * @returns {number[]}
 */
export function midranks(values) {
  return values.map((value) => {
    let below = 0;
    let equal = 0;
    for (const other of values) {
      if (other < value) below += 1;
      else if (other === value) equal += 1;
    }
    return below + (equal + 1) / 2;
  });
}

/**
 * Sum t^3 - t over the groups of t equal ranks.
 * @param {readonly number[]} ranks
 */
export function tieTerm(ranks) {
  const counts = new Map();
  for (const rank of ranks) counts.set(rank, (counts.get(rank) ?? 0) + 1);
  let total = 0;
  for (const count of counts.values()) total += count ** 3 - count;
  return total;
}

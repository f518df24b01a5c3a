/**
 * Compute the median and the quartiles, interpolated linearly between neighbours (Hyndman and Fan 1996, type 7).
 * @param {readonly number[]} values
 * @returns {{ n: number, low: number | null, median: number | null, high: number | null }}
 */
export function quartiles(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const [low, median, high] = [0.25, 0.5, 0.75].map((share) => quantile(sorted, share));
  return { n: sorted.length, low: low ?? null, median: median ?? null, high: high ?? null };
}

/** @param {readonly number[]} sorted @param {number} share */
function quantile(sorted, share) {
  const place = (sorted.length - 1) * share;
  const below = sorted[Math.floor(place)];
  const above = sorted[Math.ceil(place)];
  if (below === undefined || above === undefined) return null;
  return below + (place - Math.floor(place)) * (above - below);
}

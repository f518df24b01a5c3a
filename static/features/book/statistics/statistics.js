// Statistics over all tastings: count and mean liking by group, days of tasting, alcohol by year.

/** @typedef {import('../../../domain/search_index.js').Entry} Entry */
/**
 * @typedef {{ id: string, count: number, liking: number | null, last: string }} Count liking: mean
 *   of the rated tastings
 */
/**
 * @typedef {{ year: string, low: number, middle: number, high: number, count: number }} AbvOfYear
 *   quartiles and median of the label alcohol, in percent
 */

/**
 * @param {Entry[]} entries
 * @param {(entry: Entry) => (string | null)[]} of the groups of an entry
 * @returns {Count[]} most frequent first
 */
export function countBy(entries, of) {
  /** @type {Map<string, { count: number, likings: number[], last: string }>} */
  const counts = new Map();
  for (const entry of entries) {
    for (const id of new Set(of(entry))) {
      if (!id) continue;
      const sum = counts.get(id) ?? { count: 0, likings: [], last: '' };
      sum.count += 1;
      if (entry.liking !== null) sum.likings.push(entry.liking);
      if (entry.at > sum.last) sum.last = entry.at;
      counts.set(id, sum);
    }
  }
  return [...counts]
    .map(([id, { count, likings, last }]) => ({
      id,
      count,
      last,
      liking: likings.length ? likings.reduce((a, b) => a + b, 0) / likings.length : null,
    }))
    .sort((a, b) => b.count - a.count || (b.liking ?? 0) - (a.liking ?? 0) || (a.id < b.id ? -1 : 1));
}

/**
 * Count different bottles, merged ones as the one that remains; a note without a bottle is of a bottle of its own.
 * @param {Entry[]} entries
 */
export function countBottles(entries) {
  return new Set(entries.map(({ id, bottle, about }) => about.id ?? bottle ?? id)).size;
}

/**
 * @param {Entry[]} entries
 * @returns {string[]} newest first
 */
export function yearsOf(entries) {
  return [...new Set(entries.map((entry) => entry.at.slice(0, 4)).filter(Boolean))].sort().reverse();
}

/**
 * @param {Entry[]} entries
 * @param {string} year
 * @returns {{ month: string, days: Map<number, number>, count: number }[]} the months from the first with a tasting on,
 *   with the tastings per day
 */
export function monthsOf(entries, year) {
  const months = Array.from({ length: 12 }, (_, at) => ({
    month: `${year}-${String(at + 1).padStart(2, '0')}`,
    days: /** @type {Map<number, number>} */ (new Map()),
    count: 0,
  }));
  for (const { at } of entries) {
    if (!at.startsWith(`${year}-`)) continue;
    const month = months[Number(at.slice(5, 7)) - 1];
    const day = Number(at.slice(8, 10));
    if (!month) continue;
    month.count += 1;
    month.days.set(day, (month.days.get(day) ?? 0) + 1);
  }
  const first = months.findIndex(({ count }) => count > 0);
  return first < 0 ? [] : months.slice(first);
}

/**
 * @param {Entry[]} entries
 * @returns {AbvOfYear[]} newest year first
 */
export function abvByYear(entries) {
  return yearsOf(entries).flatMap((year) => {
    const printed = entries
      .filter((entry) => entry.at.startsWith(year))
      .flatMap(({ about }) => (about.abv === null ? [] : [about.abv]))
      .sort((a, b) => a - b);
    return printed.length
      ? [
          {
            year,
            low: quantile(printed, 0.25),
            middle: quantile(printed, 0.5),
            high: quantile(printed, 0.75),
            count: printed.length,
          },
        ]
      : [];
  });
}

/**
 * Compute a quantile by linear interpolation (Hyndman and Fan 1996, type 7).
 * @param {number[]} sorted
 * @param {number} share
 */
export function quantile(sorted, share) {
  const at = share * (sorted.length - 1);
  const below = sorted[Math.floor(at)] ?? NaN;
  const above = sorted[Math.ceil(at)] ?? NaN;
  return below + (above - below) * (at - Math.floor(at));
}

// Orders tastings by their times, which are texts with the offset of the place.

/** @param {string | null | undefined} moment RFC 3339 @returns {number} 0 without a time */
export function instantMs(moment) {
  return Date.parse(moment ?? '') || 0;
}

/**
 * Compare for a list, newest first: by day as text, as the index and the headings of a list have it, then by instant,
 * because the clock may go back or the zone change within a day.
 * @param {string} one
 * @param {string} other
 */
export function newestFirst(one, other) {
  if (one.slice(0, 10) === other.slice(0, 10)) return instantMs(other) - instantMs(one);
  return one < other ? 1 : -1;
}

// A vintage as it is written on labels, lists and by hand.

const LEAST = 1800;
const MOST = 2100;
// NV and MV on English lists, SA (sans année, senza annata) on French and Italian ones.
const NONE = /^(?:n\.?\s?[vm]\.?|m\.?\s?v\.?|s\.?\s?a\.?|non[ -]?vintage)$/i;

/** @typedef {{ vintage: number | null, non_vintage: true | null }} Vintage */

/**
 * @param {string} text
 * @returns {Vintage | null} null where it is neither a year nor the word for none
 */
export function readVintage(text) {
  const written = text.trim();
  if (written === '') return { vintage: null, non_vintage: null };
  if (NONE.test(written)) return { vintage: null, non_vintage: true };
  const year = /^\d{4}$/.test(written) ? Number(written) : 0;
  return year >= LEAST && year <= MOST ? { vintage: year, non_vintage: null } : null;
}

// Parses a vintage as written on labels and lists or typed.

const MIN_YEAR = 1800;
const MAX_YEAR = 2100;
// NV and MV in English, SA (sans année, senza annata) in French and Italian. NM (non millésimé) is read but not
// written, because on Champagne it means a merchant.
const NONE =
  /^(?:n\.?\s?[vm]\.?|m\.?\s?v\.?|s\.?\s?a\.?|non[ -]?vintage|non[ -]mill[eé]sim[eé]|sans ann[eé]e|senza annata)$/i;

/** @typedef {{ vintage: number | null, non_vintage: true | null }} Vintage */

/**
 * Write two digits as the latest year that ends with them and has begun; other text stays.
 * @param {string} text
 * @param {Date} now
 */
export function fullYear(text, now) {
  const year = now.getFullYear();
  return /^\d\d$/.test(text) ? String(year - ((year - Number(text)) % 100)) : text;
}

/**
 * @param {string} text
 * @returns {Vintage | null} null if it is neither a year nor a word for none
 */
export function readVintage(text) {
  const written = text.trim();
  if (written === '') return { vintage: null, non_vintage: null };
  if (NONE.test(written)) return { vintage: null, non_vintage: true };
  const year = /^\d{4}$/.test(written) ? Number(written) : 0;
  return year >= MIN_YEAR && year <= MAX_YEAR ? { vintage: year, non_vintage: null } : null;
}

/** Text that may still become a year or "NV" is not an error yet. */
const INCOMPLETE = /^(?:\d{1,3}|[nms]\.?)$/i;

/**
 * Return the message for a typed vintage. A year to come is stored too, because the record allows it.
 * @param {string} text
 * @param {Date} now
 */
export function vintageProblem(text, now) {
  const read = readVintage(text);
  if (read) return Number(read.vintage) > now.getFullYear() ? 'ahead' : null;
  return INCOMPLETE.test(text) ? null : 'wrong';
}

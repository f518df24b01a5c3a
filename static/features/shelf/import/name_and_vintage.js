// Finds the vintage of a row of a list, which may stand in its name.
import { plainText } from '../../../lib/plain_text.js';
import { readVintage } from '../../../rules/label/vintage.js';
import { vintageInName } from '../../../rules/label/vintage_in_name.js';

/** @typedef {import('../../../rules/label/vintage.js').Vintage} Vintage */

/** "NV" or "NM" as a word. */
export const NO_VINTAGE = /(?<![\p{L}\p{N}])N\.?[VM](?:\.|(?![\p{L}\p{N}]))/iu;

/**
 * @param {string | null} text the name as written
 * @param {string | null} written in the column of the vintages
 * @param {number} thisYear
 * @returns {{ name: string | null, year: Vintage | null }} `year` is null if what is written is no vintage
 */
export function nameAndVintage(text, written, thisYear) {
  const name = text && text.replace(/\s+/g, ' ');
  if (written || !name) return { name, year: readVintage(written ?? '') };
  const found = vintageInName(name, thisYear);
  if (found?.sure) return { name: found.name, year: { vintage: found.vintage, non_vintage: null } };
  const left = name.replace(NO_VINTAGE, ' ').replace(/\s+/g, ' ').trim();
  return NO_VINTAGE.test(name) && /\p{L}{3}/u.test(left)
    ? { name: left, year: { vintage: null, non_vintage: true } }
    : { name, year: readVintage('') };
}

/** Return the words of a name, to compare it with another. @param {unknown} name */
export function wordsOf(name) {
  return plainText(String(name ?? ''))
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

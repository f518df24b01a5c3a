// Ranks suggested aromas: the last noted, then those typical of the style, then the user's most
// frequent.
import aromas from '../../spec/aromas.json' with { type: 'json' };
import { AROMA_FIELDS } from '../../rules/tasting/aroma_fields.js';
import { aromaIds } from './entry.js';

/** @typedef {{ id: string, words: string[] }} Family */
/** @typedef {Record<string, any>} Fields */

const A_FAMILY = 2;
const OF_STYLE = 8;
const LAST = 4;

/** @type {Family[]} */
export const families = aromas.families;
/** @type {Map<string, string>} aromas listed in a second family, and their id in the first */
export const sameAs = new Map(Object.entries(aromas.same_as));
const allAromas = new Set(families.flatMap((family) => family.words));

/**
 * @param {Fields[]} tastings
 * @returns {Map<string, number>} number of tastings by aroma
 */
export function countAromas(tastings) {
  /** @type {Map<string, number>} */
  const counts = new Map();
  for (const tasting of tastings) {
    const noted = new Set(AROMA_FIELDS.flatMap((step) => aromaIds(tasting[step])));
    for (const aroma of noted) counts.set(aroma, (counts.get(aroma) ?? 0) + 1);
  }
  return counts;
}

/**
 * @param {Fields[]} tastings newest first
 * @returns {string[]} aromas by the time of their last use, newest first
 */
export function recent(tastings) {
  const noted = tastings.flatMap((tasting) => [...AROMA_FIELDS].reverse().flatMap((step) => aromaIds(tasting[step])));
  return [...new Set(noted)].filter((aroma) => allAromas.has(aroma));
}

/**
 * The words at the thumb: the last ones first, then the likeliest.
 * @param {{ last: string[], styleFamilies: string[], counts: Map<string, number>, allowed?: Set<string> | null }} known
 *   allowed: the words that may be offered, null for all
 * @param {string[]} excluded words that stand elsewhere on the page already
 * @param {number} limit
 */
export function suggest({ last, styleFamilies, counts, allowed = null }, excluded, limit) {
  const isOffered = (/** @type {string} */ aroma) => !excluded.includes(aroma) && (!allowed || allowed.has(aroma));
  const recentOnes = last.filter(isOffered).slice(0, LAST);
  const known = allowed ? new Map([...counts].filter(([aroma]) => allowed.has(aroma))) : counts;
  const likely = mostLikely(styleFamilies, known, allowed, limit + recentOnes.length + excluded.length).filter(
    isOffered,
  );
  return [...new Set([...recentOnes, ...likely])].slice(0, limit);
}

/**
 * @param {string[]} styleFamilies aroma families of the style, likeliest first
 * @param {Map<string, number>} counts
 * @param {Set<string> | null} allowed
 * @param {number} limit
 * @returns {string[]} aroma ids
 */
function mostLikely(styleFamilies, counts, allowed, limit) {
  const byCount = (/** @type {string} */ a, /** @type {string} */ b) => (counts.get(b) ?? 0) - (counts.get(a) ?? 0);
  const ofStyle = styleFamilies.flatMap((id) =>
    (families.find((family) => family.id === id)?.words ?? [])
      .filter((aroma) => !allowed || allowed.has(aroma))
      .sort(byCount)
      .slice(0, A_FAMILY),
  );
  const ofTaster = [...counts.keys()].filter((aroma) => allAromas.has(aroma)).sort(byCount);
  return [...new Set([...ofStyle.slice(0, OF_STYLE), ...ofTaster])].slice(0, limit);
}

/**
 * @param {string[]} styleFamilies
 * @returns {Family[]} all families, the style's first
 */
export function familiesInOrder(styleFamilies) {
  const rank = (/** @type {Family} */ family) =>
    styleFamilies.includes(family.id) ? styleFamilies.indexOf(family.id) : styleFamilies.length;
  return [...families].sort((a, b) => rank(a) - rank(b));
}

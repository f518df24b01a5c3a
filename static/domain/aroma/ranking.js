// Ranks suggested aromas: the last noted, then those typical of the style, then the user's most
// frequent.
import aromas from '../../spec/aromas.json' with { type: 'json' };
import { plainText } from '../../lib/plain_text.js';
import { AROMA_FIELDS } from '../../rules/tasting/aroma_fields.js';
import { aromaIds } from './entry.js';

/** @typedef {{ id: string, words: string[] }} Family */
/** @typedef {{ id: string, families: Family[] }} Group */
/** @typedef {Record<string, any>} Fields */

const A_FAMILY = 2;
const OF_STYLE = 8;
const LAST = 4;
/** Weight of a use of one's own word, for each tasting since. */
const FADING = 0.95;

/** @type {Family[]} */
export const families = aromas.families;
/** @type {Group[]} */
export const groups = [];
for (const { group, ...family } of /** @type {(Family & { group?: string })[]} */ (aromas.families)) {
  // In the bundle only the first family of a group names it.
  if (group && group !== groups.at(-1)?.id) groups.push({ id: group, families: [] });
  groups.at(-1)?.families.push(family);
}
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
 * Rank one's own words by use: often and lately first. Spellings that differ in case or accents are one word.
 * @param {Fields[]} tastings newest first
 * @returns {string[]} entries such as `~smoked tea`, in their latest spelling
 */
export function ownWords(tastings) {
  /** @type {Map<string, { entry: string, weight: number }>} */
  const found = new Map();
  for (const [at, tasting] of tastings.entries()) {
    const used = new Map(
      AROMA_FIELDS.flatMap((step) => aromaIds(tasting[step]))
        .filter((entry) => entry.startsWith('~'))
        .map((entry) => [plainText(entry), entry]),
    );
    for (const [plain, entry] of used) {
      const known = found.get(plain) ?? { entry, weight: 0 };
      found.set(plain, { ...known, weight: known.weight + FADING ** at });
    }
  }
  return [...found.values()].sort((a, b) => b.weight - a.weight).map(({ entry }) => entry);
}

/**
 * Choose the words at the thumb: the last ones that suit the wine first, then the likeliest.
 * @param {{ last: string[], styleFamilies: string[], counts: Map<string, number>, allowed?: Set<string> | null,
 *   strict?: boolean }} known allowed: the words that suit style and colour, null for all; strict: offer no others
 * @param {string[]} excluded words that stand elsewhere on the page already
 * @param {number} limit
 */
export function suggest({ last, styleFamilies, counts, allowed = null, strict = false }, excluded, limit) {
  const suits = (/** @type {string} */ aroma) => !allowed || allowed.has(aroma);
  const isOffered = (/** @type {string} */ aroma) => !excluded.includes(aroma) && (!strict || suits(aroma));
  const recentOnes = last.filter((aroma) => isOffered(aroma) && suits(aroma)).slice(0, LAST);
  const known = strict ? new Map([...counts].filter(([aroma]) => suits(aroma))) : counts;
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
  const suits = (/** @type {string} */ aroma) => Number(!allowed || allowed.has(aroma));
  const ofTaster = [...counts.keys()]
    .filter((aroma) => allAromas.has(aroma))
    .sort((a, b) => suits(b) - suits(a) || byCount(a, b));
  return [...new Set([...ofStyle.slice(0, OF_STYLE), ...ofTaster, ...ofStyle])].slice(0, limit);
}

/**
 * @param {Family[]} some
 * @param {string[]} styleFamilies
 * @returns {Family[]} the same families, the style's first
 */
export function familiesInOrder(some, styleFamilies) {
  const rank = (/** @type {Family} */ family) =>
    styleFamilies.includes(family.id) ? styleFamilies.indexOf(family.id) : styleFamilies.length;
  return [...some].sort((a, b) => rank(a) - rank(b));
}

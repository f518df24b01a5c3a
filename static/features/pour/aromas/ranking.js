// Ranks suggested aromas: the last noted, then those typical of the style, then the user's most
// frequent.
import aromas from '../../../spec/aromas.json' with { type: 'json' };
import { aromaIds } from '../../../domain/aroma/entry.js';

/** @typedef {{ id: string, words: string[] }} Family */
/** @typedef {Record<string, any>} Fields */

const STEPS_WITH_WORDS = ['first_nose_words', 'second_nose_words', 'sip_words', 'sip_2_words', 'sip_3_words'];
const A_FAMILY = 2;
const OF_STYLE = 8;
const LAST = 4;

/** @type {Family[]} */
export const families = aromas.families;
/** @type {Map<string, string>} aromas listed in a second family, and their id in the first */
export const sameAs = new Map(Object.entries(aromas.same_as));
const everyWord = new Set(families.flatMap((family) => family.words));

/**
 * @param {Fields[]} tastings
 * @returns {Map<string, number>} number of tastings by aroma
 */
export function countWords(tastings) {
  /** @type {Map<string, number>} */
  const counts = new Map();
  for (const tasting of tastings) {
    const noted = new Set(STEPS_WITH_WORDS.flatMap((step) => aromaIds(tasting[step])));
    for (const word of noted) counts.set(word, (counts.get(word) ?? 0) + 1);
  }
  return counts;
}

/**
 * @param {Fields[]} tastings newest first
 * @returns {string[]} aromas by the time of their last use, newest first
 */
export function recent(tastings) {
  const noted = tastings.flatMap((tasting) =>
    [...STEPS_WITH_WORDS].reverse().flatMap((step) => aromaIds(tasting[step])),
  );
  return [...new Set(noted)].filter((word) => everyWord.has(word));
}

/**
 * Suggest aromas: recent ones first, then likely ones.
 * @param {{ last: string[], styleFamilies: string[], counts: Map<string, number> }} known
 * @param {string[]} offered aromas shown elsewhere on the page
 * @param {number} most
 */
export function suggest({ last, styleFamilies, counts }, offered, most) {
  const lately = last.filter((word) => !offered.includes(word)).slice(0, LAST);
  const likely = mostLikely(styleFamilies, counts, most + lately.length + offered.length).filter(
    (word) => !offered.includes(word),
  );
  return [...new Set([...lately, ...likely])].slice(0, most);
}

/**
 * @param {string[]} styleFamilies aroma families of the style, likeliest first
 * @param {Map<string, number>} counts
 * @param {number} most
 * @returns {string[]} aroma ids
 */
export function mostLikely(styleFamilies, counts, most) {
  const often = (/** @type {string} */ a, /** @type {string} */ b) => (counts.get(b) ?? 0) - (counts.get(a) ?? 0);
  const ofStyle = styleFamilies.flatMap((id) =>
    [...(families.find((family) => family.id === id)?.words ?? [])].sort(often).slice(0, A_FAMILY),
  );
  const ofTaster = [...counts.keys()].filter((word) => everyWord.has(word)).sort(often);
  return [...new Set([...ofStyle.slice(0, OF_STYLE), ...ofTaster])].slice(0, most);
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

// What wines of one colour smell of, for a glass of which nothing else may be known.
import styles from '../../../spec/styles.json' with { type: 'json' };
import { families } from './ranking.js';

const COLOURS = ['red', 'white', 'rose', 'amber'];
/** A family that fewer of a colour's styles are known for is not expected of it. */
const LEAST_SHARE = 0.03;

/** Words of families that red wines share, which are themselves said of white wines. */
const whiteWords = new Set([
  'acacia',
  'elderflower',
  'jasmine',
  'honeysuckle',
  'orange_blossom',
  'dried_apricot',
  'sultana',
  'candied_peel',
  'asparagus',
  'cut_grass',
]);

/**
 * @param {string | null} colour null while it is not said
 * @returns {string[]} aroma families, the commonest first; without a colour only those that reds and whites share
 */
export function familiesOfColour(colour) {
  if (colour) return commonest(colour);
  const white = commonest('white');
  return commonest('red').filter((family) => white.includes(family));
}

/** @param {string} colour @returns {string[]} */
function commonest(colour) {
  if (!COLOURS.includes(colour)) return [];
  const ofColour = styles.styles.filter((style) => style.colour === colour);
  /** @type {Map<string, number>} */
  const counts = new Map();
  for (const family of ofColour.flatMap((style) => style.aroma_families))
    counts.set(family, (counts.get(family) ?? 0) + 1);
  return [...counts]
    .filter(([, count]) => count >= ofColour.length * LEAST_SHARE)
    .sort(([, one], [, other]) => other - one)
    .map(([family]) => family);
}

/** @type {Map<string | null, Set<string>>} */
const wordsByColour = new Map();

/** @param {string | null} colour @returns {Set<string>} words that may be offered for a glass of this colour */
export function wordsOfColour(colour) {
  const known = wordsByColour.get(colour) ?? makeWords(colour);
  wordsByColour.set(colour, known);
  return known;
}

/** @param {string | null} colour */
function makeWords(colour) {
  const ofColour = familiesOfColour(colour);
  const words = families.filter(({ id }) => ofColour.includes(id)).flatMap((family) => family.words);
  return new Set(colour === 'red' || colour === null ? words.filter((word) => !whiteWords.has(word)) : words);
}

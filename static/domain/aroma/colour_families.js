// The aromas to expect: those of the style in its colour, or under a hidden label those of wines of one colour.
import styles from '../../spec/styles.json' with { type: 'json' };
import { styleOf } from '../style_names.js';
import { families } from './ranking.js';

const COLOURS = ['red', 'white', 'rose', 'amber'];
/** The share of a colour's styles that must have a family for the colour to have it. */
const LEAST_SHARE = 0.03;

/** Words used of white wines only, although red wines share their families. */
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
 * @param {string | null} colour null if it is not noted
 * @returns {string[]} aroma families, most common first; without a colour only those that reds and whites share
 */
function familiesOfColour(colour) {
  if (colour) return commonest(colour);
  const white = commonest('white');
  return commonest('red').filter((family) => white.includes(family));
}

/**
 * Return what the style is known for in this colour; without a style, or under a hidden label, what wines of the colour
 * seen are known for.
 * @param {string | null} lookedAt colour that the taster noted
 * @param {Record<string, any> | null} bottle null under a hidden label
 * @returns {{ ofStyle: string[], allowed: Set<string> | null, strict: boolean }} as in `suggest`
 */
export function expectedAromas(lookedAt, bottle) {
  const style = styleOf(bottle?.['style']);
  const seen = lookedAt ?? bottle?.['colour'] ?? style?.colour ?? null;
  if (style) return { ofStyle: style.aroma_families, allowed: wordsOfStyle(style.aroma_families, seen), strict: false };
  if (bottle && !seen) return { ofStyle: [], allowed: null, strict: false };
  return { ofStyle: familiesOfColour(seen), allowed: wordsOfColour(seen), strict: true };
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
const makeWords = (colour) => new Set(wordsIn(familiesOfColour(colour), colour));

/**
 * @param {string[]} styleFamilies
 * @param {string | null} colour
 * @returns {Set<string>} words that suit a wine of the style in this colour
 */
export function wordsOfStyle(styleFamilies, colour) {
  return new Set([...wordsIn(styleFamilies, colour), ...wordsOfColour(colour)]);
}

/** @param {string[]} ids families @param {string | null} colour */
function wordsIn(ids, colour) {
  const words = families.filter(({ id }) => ids.includes(id)).flatMap((family) => family.words);
  return colour === 'red' || colour === null ? words.filter((word) => !whiteWords.has(word)) : words;
}

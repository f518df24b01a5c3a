// Finds the appellations, wines, grapes and places in a text, by the table of names.
import table from '../../spec/wine_names.json' with { type: 'json' };
import { plainText, withinOneTypo } from '../../lib/plain_text.js';
import { TAGS } from './label_tags.js';

/**
 * @typedef {{ kind: string, country?: string, shared?: string[], area?: string, colour?: string, default?: string,
 *   likely?: boolean, may?: string[], styles?: Record<string, string>, by?: Record<string, string>,
 *   sweet?: Record<string, string>, terms?: Record<string, string>, unoaked?: Record<string, string>,
 *   names: string[] }} Group
 *   styles by colour, `may` what it may be where nothing decides; `likely`: the answer is never certain
 */
/** @typedef {{ words: string[], group: Group }} Entry */
/** @typedef {Entry & { places: number[], typo: boolean }} Hit where each of its words stands in the text */

const TYPO_LETTERS = 6;
/** Words of labels that are one letter from a name: Graves, Sherry, Códega, Marino. */
const ORDINARY = new Set(['grapes', 'gravel', 'cherry', 'bodega', 'marina']);

/** @param {string} text */
export function tokenize(text) {
  return plainText(text)
    .replace(/\bst[. -]/g, 'saint ')
    .replace(/\bste[. -]/g, 'sainte ')
    .replace(/\bch[.] /g, 'chateau ')
    .split(/[^\p{L}\p{N}]+/u)
    .filter(Boolean);
}

/** @type {Map<string, Entry[]> | null} */
let made = null;

/** Return the names by their number of words, built on first use. */
function entries() {
  if (made) return made;
  made = new Map();
  for (const group of /** @type {Group[]} */ (/** @type {unknown} */ (table.groups))) {
    for (const name of group.names) {
      const words = tokenize(name);
      const key = words[0] ?? '';
      made.set(key, [...(made.get(key) ?? []), { words, group }]);
    }
  }
  return made;
}

/**
 * Return the positions of a name's words. Other words may stand between an appellation and its
 * wine: "Champagne Grand Cru Blanc de Blancs".
 * @param {Entry} entry
 * @param {string[]} words
 * @param {number} at of its first word
 * @returns {number[] | null}
 */
function placesOf({ words: name, group }, words, at) {
  const isAt = (/** @type {number} */ start, /** @type {string[]} */ some) =>
    some.every((each, i) => words[start + i] === each);
  if (isAt(at, name)) return name.map((_, i) => at + i);
  const rest = name.slice(1);
  const isApart =
    group.kind === 'wine' &&
    rest.length > 0 &&
    words[at] === name[0] &&
    (entries().get(name[0] ?? '') ?? []).some(
      (each) => each.words.length === 1 && each.group.country === group.country,
    );
  const start = isApart ? words.findIndex((_, i) => i > at && isAt(i, rest)) : -1;
  return start < 0 ? null : [at, ...rest.map((_, i) => start + i)];
}

/** @param {string | undefined} word @returns {word is string} whether it may be a name with one typo */
function isLong(word) {
  return word !== undefined && word.length >= TYPO_LETTERS && !(word in TAGS) && !ORDINARY.has(word);
}

/**
 * Find names in the words, exact ones first; typos are tried only if no appellation or wine
 * matches.
 * @param {string[]} words
 * @returns {Hit[]}
 */
export function hitsIn(words) {
  const exact = words.flatMap((word, at) =>
    (entries().get(word) ?? []).flatMap((entry) => {
      const places = placesOf(entry, words, at);
      return places ? [{ ...entry, places, typo: false }] : [];
    }),
  );
  if (exact.some((hit) => (hit.group.styles && Object.keys(hit.group.styles).length > 0) || hit.group.kind === 'grape'))
    return exact;
  const placed = exact.some((hit) => hit.group.kind !== 'place');
  const close = (/** @type {string | undefined} */ a, /** @type {string} */ b) =>
    a === b || (isLong(a) && b.length >= TYPO_LETTERS && withinOneTypo(a, b));
  const near = words.flatMap((word, at) =>
    [...entries()]
      .filter(([first]) => close(word, first))
      .flatMap(([, some]) => some)
      .filter(
        (entry) =>
          (placed ? entry.group.kind === 'grape' : entry.group.kind !== 'place') &&
          entry.words.every((each, i) => close(words[at + i], each)),
      )
      .map((entry) => ({ ...entry, places: entry.words.map((_, i) => at + i), typo: true })),
  );
  return [...exact, ...near];
}

/** @param {Hit} hit */
const letters = (hit) => hit.words.join('').length;

/**
 * Drop hits inside longer ones, and sort: appellations before grapes, longest first.
 * @param {Hit[]} hits
 */
export function ranked(hits) {
  const inside = (/** @type {Hit} */ a, /** @type {Hit} */ b) =>
    a.words.length < b.words.length && a.places.every((place) => b.places.includes(place));
  const rank = (/** @type {Hit} */ hit) => (hit.group.kind === 'grape' ? 1 : 0);
  return hits
    .filter((hit) => !hits.some((other) => inside(hit, other)))
    .sort((a, b) => rank(a) - rank(b) || letters(b) - letters(a));
}

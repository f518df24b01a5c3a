// Filters the search index by typed words and selected filters.
import { plainText, withinOneTypo } from '../../../lib/plain_text.js';

/** @typedef {import('../../../domain/search_index.js').Entry} Entry */
/**
 * @typedef {object} Filters
 * @property {number | null} liking_low
 * @property {number | null} liking_high
 * @property {number | null} abv_low
 * @property {number | null} abv_high
 * @property {string[]} colours
 * @property {string[]} kinds
 * @property {string | null} style
 * @property {string | null} country
 * @property {string | null} grape
 * @property {string | null} place
 * @property {string | null} year
 * @property {boolean} would_buy
 * @property {boolean} faulty
 */

/** @type {Filters} */
export const NO_FILTERS = {
  liking_low: null,
  liking_high: null,
  abv_low: null,
  abv_high: null,
  colours: [],
  kinds: [],
  style: null,
  country: null,
  grape: null,
  place: null,
  year: null,
  would_buy: false,
  faulty: false,
};

/**
 * Split what was typed at spaces and hyphens, so that "saint-emilion" finds "Saint Emilion" as well. A month such as
 * 2026-11 stays whole.
 * @param {string} typed
 */
export function tokenize(typed) {
  return plainText(typed)
    .split(/\s+|(?<!\d)-|-(?!\d)/)
    .filter(Boolean);
}

/** @param {Filters} filters */
export function isFiltering(filters) {
  return JSON.stringify(filters) !== JSON.stringify(NO_FILTERS);
}

/**
 * Return entries that contain every word and match the filters. An entry without a filtered field
 * does not match.
 * @param {Entry[]} entries
 * @param {string[]} words normalized
 * @param {Filters} filters
 */
export function search(entries, words, filters) {
  const filtered = isFiltering(filters) ? entries.filter(matcher(filters)) : entries;
  return words.length ? filtered.filter((entry) => words.every((word) => entry.text.includes(word))) : filtered;
}

const TYPO_LETTERS = 5;
/** @type {WeakMap<Entry[], string[]>} */
const vocabularies = new WeakMap();

/**
 * Search for words with a typo: one that stands in no entry means those that are one letter away from it.
 * @param {Entry[]} entries
 * @param {string[]} words folded
 * @param {Filters} filters
 */
export function forgivingSearch(entries, words, filters) {
  if (!words.some((word) => word.length >= TYPO_LETTERS)) return [];
  const meant = words.map((word) => (entries.some(({ text }) => text.includes(word)) ? [word] : near(entries, word)));
  if (meant.some((some) => some.length === 0)) return [];
  return entries
    .filter(matcher(filters))
    .filter((entry) => meant.every((some) => some.some((word) => entry.text.includes(word))));
}

/** @param {Entry[]} entries @param {string} word @returns {string[]} words of the entries that are one typo away */
function near(entries, word) {
  if (word.length < TYPO_LETTERS) return [];
  const known = vocabularies.get(entries) ?? [
    ...new Set(entries.flatMap(({ text }) => text.split(/[^\p{L}\p{N}]+/u)).filter((each) => each.length >= 4)),
  ];
  vocabularies.set(entries, known);
  return known.filter((each) => withinOneTypo(each, word));
}

/**
 * Return a function that checks only the filters that are set, because it is called for every tasting.
 * @param {Filters} by
 * @returns {(entry: Entry) => boolean}
 */
function matcher(by) {
  const tests = /** @type {[boolean, (entry: Entry) => boolean][]} */ ([
    [isBound(by.liking_low, by.liking_high), ({ liking }) => between(liking, by.liking_low, by.liking_high)],
    [isBound(by.abv_low, by.abv_high), ({ about }) => between(about.abv, by.abv_low, by.abv_high)],
    [by.colours.length > 0, ({ about }) => by.colours.includes(about.colour ?? '')],
    [by.kinds.length > 0, ({ about }) => by.kinds.includes(about.kind ?? '')],
    [by.style !== null, ({ about }) => about.style === by.style],
    [by.country !== null, ({ about }) => about.country === by.country],
    [by.grape !== null, ({ about }) => about.grapes.includes(by.grape ?? '')],
    [by.place !== null, ({ place }) => place === by.place],
    [by.year !== null, ({ at }) => at.startsWith(by.year ?? '')],
    [by.would_buy, (entry) => entry.would_buy === 'yes'],
    [by.faulty, ({ fault }) => fault !== ''],
  ]).flatMap(([isSet, test]) => (isSet ? [test] : []));
  const [first = () => true] = tests;
  return tests.length > 1 ? (entry) => tests.every((test) => test(entry)) : first;
}

/** @param {number | null} low @param {number | null} high */
function isBound(low, high) {
  return low !== null || high !== null;
}

/** @param {number | null} value @param {number | null} low @param {number | null} high */
function between(value, low, high) {
  return value !== null && value >= (low ?? -Infinity) && value <= (high ?? Infinity);
}

// The words a person sees, asked for by key. One file a room and language in /words; English stands in for what a translation lacks.
import { numberFormat } from './formatters.js';

/** @type {Record<string, string>} */
let words = {};
/** @type {Record<string, string>} */
let englishWords = {};
let language = 'en';
/** @type {Intl.PluralRules} */
let plurals = new Intl.PluralRules('en');
/** @type {Set<string>} */
const loaded = new Set();

export const languages = /** @type {const} */ (['en', 'fr', 'it']);

/** @param {string | null | undefined} wanted a language tag of the settings, or empty for the phone's own */
export function chooseLanguage(wanted) {
  const asked = [wanted, ...navigator.languages].map((tag) => tag?.slice(0, 2));
  language = asked.find((tag) => languages.some((known) => known === tag)) ?? 'en';
  plurals = new Intl.PluralRules(language);
  document.documentElement.lang = language;
  words = {};
  loaded.clear();
}

/** The tag that dates and numbers are formatted with: the phone's own region where it speaks the chosen language. */
export function locale() {
  return navigator.languages.find((tag) => tag.startsWith(language)) ?? language;
}

/** @param {...string} rooms file names under /words/<language>/ */
export async function loadWords(...rooms) {
  await Promise.all(rooms.filter((room) => !loaded.has(room)).map(async (room) => {
    const english = await fetchWords('en', room);
    const own = language === 'en' ? {} : await fetchWords(language, room);
    words = { ...words, ...english, ...own };
    englishWords = { ...englishWords, ...english };
    loaded.add(room);
  }));
}

/**
 * @param {string} tag
 * @param {string} room
 * @returns {Promise<Record<string, string>>}
 */
async function fetchWords(tag, room) {
  const answer = await fetch(`/words/${tag}/${room}.json`);
  if (!answer.ok) {
    if (tag === 'en') throw new Error(`no words for ${room}`);
    return {};
  }
  return answer.json();
}

/**
 * The text under a key. With `count` among the values, `key.one`, `key.other` ... are tried first.
 * A key without a text answers with itself, so that a gap shows (and a test finds it).
 * @param {string} key
 * @param {Record<string, string | number>} [values]
 */
export function t(key, values = {}) {
  const plural = 'count' in values ? words[`${key}.${plurals.select(Number(values.count))}`] ?? words[`${key}.other`] : undefined;
  const text = plural ?? words[key];
  if (text === undefined) return key;
  return text.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? written(values[name]) : whole));
}

/** @param {string | number | undefined} value */
function written(value) {
  return typeof value === 'number' ? numberFormat(locale()).format(value) : String(value ?? '');
}

/** The English text under a key whatever the language, for what is looked for by its English name too; empty without one. @param {string} key */
export function inEnglish(key) {
  return englishWords[key] ?? '';
}

/** @param {string} key */
export function hasWords(key) {
  return key in words;
}

// Messages by key. The server joins the files in /words into one per language. English, which only
// the search needs beside another language, is loaded after the first screen.
import { numberFormat } from './lib/intl_cache.js';
import { isolated } from './lib/isolate.js';

/** @type {Record<string, string>} */
let messages = {};
/** @type {Record<string, string>} */
let englishMessages = {};
let language = 'en';
/** @type {Intl.PluralRules | null} */
let plurals = null;

export const languages = /** @type {const} */ (['en', 'fr', 'it']);

/** @param {string | null | undefined} requested language tag of the settings; empty for the phone's language */
export function setLanguage(requested) {
  const asked = [requested, ...navigator.languages].map((tag) => tag?.slice(0, 2));
  language = asked.find((tag) => languages.some((known) => known === tag)) ?? 'en';
  plurals = null;
  document.documentElement.lang = language;
}

export const isEnglish = () => language === 'en';

/** Return the locale for dates and numbers: the phone's own if it has the chosen language. */
export function locale() {
  return navigator.languages.find((tag) => tag.startsWith(language)) ?? language;
}

/** Load the messages of the chosen language, or the English ones if that fails. @returns {Promise<void>} */
export async function loadMessages() {
  messages = await (language === 'en' ? loadEnglish() : fetchMessages(language).catch(loadEnglish));
}

/** @returns {Promise<Record<string, string>>} the English messages, which `inEnglish()` knows from then on */
export async function loadEnglish() {
  englishMessages = await fetchMessages('en');
  return englishMessages;
}

/** @type {Map<string, Promise<Record<string, string>>>} */
const fetched = new Map();

/** @param {string} tag @returns {Promise<Record<string, string>>} */
function fetchMessages(tag) {
  const coming =
    fetched.get(tag) ??
    fetch(`/words/${tag}.json`).then((answer) => {
      if (!answer.ok) throw new Error(`no words in ${tag}`);
      return answer.json();
    });
  fetched.set(tag, coming);
  coming.catch(() => {
    fetched.delete(tag);
  });
  return coming;
}

/**
 * Return the message of a key. With `count` among the values, `key.one`, `key.other` etc. are tried
 * first. An unknown key returns itself, so that tests find it.
 * @param {string} key
 * @param {Record<string, string | number>} [values]
 */
export function t(key, values = {}) {
  const plural =
    'count' in values ? (messages[`${key}.${pluralOf(Number(values.count))}`] ?? messages[`${key}.other`]) : undefined;
  const text = plural ?? messages[key];
  if (text === undefined) return key;
  return text.replace(/\{(\w+)\}/g, (placeholder, name) => (name in values ? written(values[name]) : placeholder));
}

/** @param {number} count */
function pluralOf(count) {
  plurals ??= new Intl.PluralRules(language);
  return plurals.select(count);
}

/** @param {string | number | undefined} value */
function written(value) {
  return typeof value === 'number' ? numberFormat(locale()).format(value) : isolated(String(value ?? ''));
}

/**
 * Return the English message of a key, for search by English names; empty until they are loaded.
 * @param {string} key
 */
export function inEnglish(key) {
  return englishMessages[key] ?? '';
}

/** @param {string} key */
export function hasMessage(key) {
  return key in messages;
}

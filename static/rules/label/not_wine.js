// Tells the names of vermouths, other aromatised wines and ciders from those of wines.
import rules from '../../spec/label_rules.json' with { type: 'json' };
import spec from '../../spec/styles.json' with { type: 'json' };
import { plainText } from '../../lib/plain_text.js';

const { aromatised, cider, estate_before: before, between, estate_after: after, use, use_between } = rules.not_wine;
const AROMATISED = anyOf(aromatised);
const CIDER = anyOf(cider);
const DRINK = anyOf([...aromatised, ...cider]).source;
/** An estate stands before such a word in Romance languages, and after it in English: "Cidre Domaine" is a cider. */
const ESTATE = new RegExp(
  `${anyOf(before).source} (?:${anyOf(between).source} )*${DRINK}|${DRINK} ${anyOf(after).source}`,
  'g',
);
/** What a wine is for, or goes with: "perfect for your own sangria". */
const USE = new RegExp(`${anyOf(use).source} (?:${anyOf([...between, ...use_between, DRINK]).source} )*${DRINK}`, 'g');

/** @type {RegExp | null} */
let grapes = null;

/**
 * Tell whether a name is that of a vermouth, another aromatised wine or a cider.
 * @param {unknown} name
 * @returns {boolean}
 */
export function isNotWine(name) {
  const plain = inWords(typeof name === 'string' ? name : '')
    .replace(USE, ' ')
    .replace(ESTATE, ' ');
  if (AROMATISED.test(plain)) return true;
  return CIDER.test(plain) && !(grapes ??= anyOf(grapeWords())).test(plain);
}

/** @param {string} text */
function inWords(text) {
  return plainText(text)
    .replace(/[^a-z]+/g, ' ')
    .trim();
}

/** Return the main names of grapes: another name of one, "Breton", is in that of a cider too. */
function grapeWords() {
  return spec.styles.flatMap((style) => style.grapes).map(inWords);
}

/** @param {string[]} words */
function anyOf(words) {
  return new RegExp(`\\b(?:${words.join('|')})\\b`);
}

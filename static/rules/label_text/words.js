// Finds the words on a label that the law defines: sweetness, quality, protected origin.
import { plainText, withinOneTypo } from '../../lib/plain_text.js';

/**
 * @typedef {{ field: 'label_words' | 'quality' | 'protected_origin', value: string | true, clear: boolean, text: string
 *   }} Word
 */

/**
 * "Partially" and "de-alcoholised", Reg (EU) 1308/2013 art. 119(1) as amended by Reg (EU) 2021/2117, from memory.
 * Labels also have them in the other order.
 */
const DEALCOHOLISED = [
  ['partiellement', 'desalcoolise'],
  ['partially', 'dealcoholised'],
  ['partially', 'dealcoholized'],
  ['partially', 'de alcoholised'],
  ['partially', 'de alcoholized'],
  ['teilweise', 'entalkoholisierter'],
  ['teilweise', 'entalkoholisiert'],
  ['parzialmente', 'dealcolizzato'],
  ['parcialmente', 'desalcoholizado'],
];

/**
 * Terms of Reg (EU) 2019/33 Annex III, in four languages, by their id in static/spec/vocabularies.json. Longer ones
 * come first, because they contain others.
 */
const LABEL_WORDS = /** @type {[string, string][]} */ ([
  ['brut nature', 'brut_nature'],
  ['dosage zero', 'brut_nature'],
  ['pas dose', 'brut_nature'],
  ['naturherb', 'brut_nature'],
  ['extra brut', 'extra_brut'],
  ['extra herb', 'extra_brut'],
  ['extra dry', 'extra_dry'],
  ['extra sec', 'extra_dry'],
  ['extra trocken', 'extra_dry'],
  ['demi sec', 'medium_dry'],
  ['medium dry', 'medium_dry'],
  ['semi seco', 'medium_dry'],
  ['semiseco', 'medium_dry'],
  ['halbtrocken', 'medium_dry'],
  ['abboccato', 'medium_dry'],
  ['medium sweet', 'medium'],
  ['moelleux', 'medium'],
  ['lieblich', 'medium'],
  ['amabile', 'medium'],
  ['feinherb', 'off_dry'],
  ['off dry', 'off_dry'],
  ['vendanges tardives', 'late_harvest'],
  ['vendange tardive', 'late_harvest'],
  ['vendemmia tardiva', 'late_harvest'],
  ['late harvest', 'late_harvest'],
  ['table wine', 'table_wine'],
  ['light wine', 'light_wine'],
  ...DEALCOHOLISED.flatMap(([part, word]) => [
    [`${part} ${word}`, 'partially_dealcoholised'],
    [`${word} ${part}`, 'partially_dealcoholised'],
  ]),
  ...DEALCOHOLISED.map(([, word]) => [word, 'dealcoholised']),
  ['brut', 'brut'],
  ['sec', 'dry'],
  ['secco', 'dry'],
  ['asciutto', 'dry'],
  ['seco', 'dry'],
  ['trocken', 'dry'],
  ['dry', 'dry'],
  ['doux', 'sweet'],
  ['dolce', 'sweet'],
  ['dulce', 'sweet'],
  ['suss', 'sweet'],
  ['sweet', 'sweet'],
]);

/** Traditional terms of the registers of the EU, as printed. */
const QUALITY = [
  ...['Trockenbeerenauslese', 'Beerenauslese', 'Auslese', 'Spätlese', 'Kabinett', 'Eiswein', 'Qualitätswein'],
  ...['Prädikatswein', 'Landwein', 'Smaragd', 'Federspiel', 'Steinfeder'],
  ...['Gran Reserva', 'Reserva', 'Crianza', 'Riserva', 'Superiore', 'Classico', 'Gran Selezione', 'Passito'],
  ...['Premier Cru', 'Grand Cru', 'Cru Bourgeois', 'Cru Classé', 'Sélection de Grains Nobles'],
];
/** @type {{ field: 'label_words' | 'quality', value: string, term: string }[]} */
const TERMS = [
  ...LABEL_WORDS.map(([term, value]) => ({ field: /** @type {const} */ ('label_words'), value, term })),
  ...QUALITY.map((value) => ({ field: /** @type {const} */ ('quality'), value, term: plainText(value) })),
];
const PROTECTED = new RegExp(
  `\\b(?:${[
    'aoc|aop|docg?|dop|doca|pdo|appellation\\b.*\\b(?:controlee|protegee)',
    'denominazione di origine|denominacion de origen|protected designation|geschutzte ursprungsbezeichnung',
  ].join('|')})\\b`,
);
const TYPO_LETTERS = 7;

const split = (/** @type {string} */ text) =>
  plainText(text)
    .split(/[^\p{L}\p{N}.]+/u)
    .map((word) => word.replace(/\.+$/, ''))
    .filter(Boolean);

/**
 * @param {string} line
 * @returns {Word[]}
 */
export function definedWordsIn(line) {
  const words = split(line);
  const used = new Set();
  const found = /** @type {Word[]} */ ([]);
  // Terms that are spelt right come first: "Riserva" is one letter from "Reserva".
  for (const isExact of [true, false])
    for (const { field, value, term } of TERMS) {
      // The word alone is never clear, because "partially" before it may be misread or in another line.
      if (isExact && value === 'dealcoholised') continue;
      const text = placed(words, term, used, isExact);
      if (text) found.push({ field, value, clear: isExact, text });
    }
  const plain = plainText(line);
  const origin = PROTECTED.exec(plain);
  if (origin) found.push({ field: 'protected_origin', value: true, clear: origin[0].length > 3, text: line });
  return found;
}

/**
 * Return the words that are a term, and mark them as used.
 * @param {string[]} words
 * @param {string} term
 * @param {Set<number>} used
 * @param {boolean} isExact otherwise one mistake is allowed in a long term
 * @returns {string | null}
 */
function placed(words, term, used, isExact) {
  const length = term.split(' ').length;
  for (let at = 0; at + length <= words.length; at += 1) {
    const places = Array.from({ length }, (_, i) => at + i);
    if (places.some((place) => used.has(place))) continue;
    const text = places.map((place) => words[place]).join(' ');
    if (isExact ? text !== term : term.length < TYPO_LETTERS || !withinOneTypo(text, term)) continue;
    for (const place of places) used.add(place);
    return text;
  }
  return null;
}

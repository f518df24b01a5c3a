// Finds aromas by typed text: by the beginnings of their words, and with a typo if nothing else fits.
import { t } from '../../i18n.js';
import { plainText } from '../../lib/plain_text.js';
import { aromaText } from './chips.js';
import { families, sameAs } from './ranking.js';

/** Letters that a word must have for one typo, and for two. */
const TYPO_LETTERS = [4, 7];

/** @typedef {(text: string, term: string) => boolean} Matches */

/** @type {Matches} */
const startsWord = (text, term) => ` ${text}`.includes(` ${term}`);

/**
 * Allow some typos, in what is typed so far of a longer word as well.
 * @param {number} most
 * @returns {Matches}
 */
const withTypos = (most) => (text, term) =>
  startsWord(text, term) ||
  (term.length >= Number(TYPO_LETTERS[most - 1]) &&
    text
      .split(/[^\p{L}\p{N}]+/u)
      .some((word) => [-2, -1, 0, 1, 2].some((more) => areNear(word.slice(0, term.length + more), term, most))));

/**
 * Tell whether a text becomes another by inserting, deleting, replacing or exchanging at most some letters.
 * @param {string} a
 * @param {string} b
 * @param {number} most
 * @returns {boolean}
 */
function areNear(a, b, most) {
  let start = 0;
  while (start < a.length && a[start] === b[start]) start += 1;
  const [restA, restB] = [a.slice(start), b.slice(start)];
  if (Math.abs(restA.length - restB.length) > most) return false;
  if (!restA || !restB) return true;
  return (
    most > 0 &&
    (areNear(restA.slice(1), restB.slice(1), most - 1) ||
      areNear(restA.slice(1), restB, most - 1) ||
      areNear(restA, restB.slice(1), most - 1) ||
      (restA[0] === restB[1] && restA[1] === restB[0] && areNear(restA.slice(2), restB.slice(2), most - 1)))
  );
}

/**
 * @param {string} query normalized
 * @param {string[]} own one's own words, which come first
 * @param {number} limit
 * @returns {string[]} aroma ids and own entries
 */
export function findAromas(query, own, limit) {
  const terms = query.split(' ');
  const texts = new Map(
    [...own, ...families.flatMap((family) => family.words), ...sameAs.keys()].map((aroma) => [
      aroma,
      plainText(aromaText(aroma)),
    ]),
  );
  const found = (/** @type {Matches} */ matches) => [
    ...[...texts].filter(([, text]) => terms.every((term) => matches(text, term))).sort(shorterAndOwnFirst),
    ...families
      .filter((family) => matches(plainText(t(`aroma_family.${family.id}`)), query))
      .flatMap((family) => family.words.map((word) => /** @type {[string, string]} */ ([word, '']))),
  ];
  for (const matches of [startsWord, withTypos(1), withTypos(2)]) {
    const hits = new Set(found(matches).map(([aroma]) => sameAs.get(aroma) ?? aroma));
    if (hits.size) return [...hits].slice(0, limit);
  }
  return [];
}

/**
 * @param {string} typed
 * @returns {string | null} the aroma of exactly that name, whatever its case and accents
 */
export function knownAroma(typed) {
  const query = plainText(typed).trim();
  const aromas = [...families.flatMap((family) => family.words), ...sameAs.keys()];
  const found = aromas.find((aroma) => plainText(aromaText(aroma)).trim() === query);
  return found === undefined ? null : (sameAs.get(found) ?? found);
}

/** @param {[string, string]} one @param {[string, string]} other */
function shorterAndOwnFirst([a, textA], [b, textB]) {
  return Number(b.startsWith('~')) - Number(a.startsWith('~')) || textA.length - textB.length;
}

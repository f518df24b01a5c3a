// One noted aroma as the record holds it: `lemon`, `lemon:2` (strength 1..3), or `~own words`.

const OWN = '~';
export const STRONGEST = 3;
export const OWN_WORDS_MAX = 40;

/** @typedef {{ word: string, strength: number | null, own: boolean }} Entry */

/** @param {string} text @returns {Entry} */
export function readEntry(text) {
  if (text.startsWith(OWN)) return { word: text, strength: null, own: true };
  const [word = '', strength] = text.split(':');
  return { word, strength: strength ? Number(strength) : null, own: false };
}

/** @param {string[] | null | undefined} entries @returns {string[]} their words alone */
export function wordsOf(entries) {
  return (entries ?? []).map((entry) => readEntry(entry).word);
}

/**
 * The first touch notes a word; each further one says how strong it is, and past the strongest it is unsaid again.
 * @param {string[] | null | undefined} entries
 * @param {string} word
 */
export function touch(entries, word) {
  const held = entries ?? [];
  if (!wordsOf(held).includes(word)) return [...held, word];
  return held.map((text) => {
    const entry = readEntry(text);
    if (entry.word !== word || entry.own) return text;
    const next = (entry.strength ?? 0) + 1;
    return next > STRONGEST ? word : `${word}:${next}`;
  });
}

/** @param {string[] | null | undefined} entries @param {string} word @returns {string[] | null} */
export function without(entries, word) {
  const left = (entries ?? []).filter((text) => readEntry(text).word !== word);
  return left.length ? left : null;
}

/** @param {string} typed @returns {string | null} an entry in the taster's own words */
export function ownEntry(typed) {
  const clean = [...typed.trim().replace(/\s+/g, ' ')].slice(0, OWN_WORDS_MAX).join('').trim();
  return clean ? `${OWN}${clean}` : null;
}

/** @param {string} word an own entry */
export function ownText(word) {
  return word.slice(OWN.length);
}

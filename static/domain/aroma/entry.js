// Parses one aroma entry of a record: `lemon`, `lemon:2` (strength 1..3) or `~custom text`.
import { CUSTOM_AROMA_MAX } from '../../store/validators.js';

const CUSTOM = '~';
export const MAX_STRENGTH = 3;

/** @typedef {{ word: string, strength: number | null, own: boolean }} Entry */

/** @param {string} text @returns {Entry} */
export function parseEntry(text) {
  if (text.startsWith(CUSTOM)) return { word: text, strength: null, own: true };
  const [word = '', strength] = text.split(':');
  return { word, strength: strength ? Number(strength) : null, own: false };
}

/**
 * @param {string[] | null | undefined} entries
 * @returns {string[]} the aromas without strength
 */
export function aromaIds(entries) {
  return (entries ?? []).map((entry) => parseEntry(entry).word);
}

/**
 * Note an aroma at the first tap, raise its strength at further taps, and remove it after the
 * strongest.
 * @param {string[] | null | undefined} entries
 * @param {string} word
 */
export function cycleStrength(entries, word) {
  const held = entries ?? [];
  if (!aromaIds(held).includes(word)) return [...held, word];
  return held.map((text) => {
    const entry = parseEntry(text);
    if (entry.word !== word || entry.own) return text;
    const next = (entry.strength ?? 0) + 1;
    return next > MAX_STRENGTH ? word : `${word}:${next}`;
  });
}

/** @param {string[] | null | undefined} entries @param {string} word @returns {string[] | null} */
export function remove(entries, word) {
  const left = (entries ?? []).filter((text) => parseEntry(text).word !== word);
  return left.length ? left : null;
}

/**
 * @param {string} typed
 * @returns {string | null} a custom entry
 */
export function customEntry(typed) {
  const clean = [...typed.trim().replace(/\s+/g, ' ')].slice(0, CUSTOM_AROMA_MAX).join('').trim();
  return clean ? `${CUSTOM}${clean}` : null;
}

/** @param {string} word a custom entry */
export function customText(word) {
  return word.slice(CUSTOM.length);
}

// Parses one aroma entry of a record: `lemon`, `lemon:2` (strength 1..3) or `~custom text`.
import { CUSTOM_AROMA_MAX } from '../../store/validators.js';

const CUSTOM = '~';
const MAX_STRENGTH = 3;

/** @typedef {{ aroma: string, strength: number | null, own: boolean }} Entry */

/** @param {string} text @returns {Entry} */
export function parseEntry(text) {
  if (text.startsWith(CUSTOM)) return { aroma: text, strength: null, own: true };
  const [aroma = '', strength] = text.split(':');
  return { aroma, strength: strength ? Number(strength) : null, own: false };
}

/**
 * @param {string[] | null | undefined} entries
 * @returns {string[]} the aromas without strength
 */
export function aromaIds(entries) {
  return (entries ?? []).map((entry) => parseEntry(entry).aroma);
}

/**
 * Note an aroma at the first tap, raise its strength at further taps, and remove it after the
 * strongest.
 * @param {string[] | null | undefined} entries
 * @param {string} aroma
 */
export function cycleStrength(entries, aroma) {
  const current = entries ?? [];
  if (!aromaIds(current).includes(aroma)) return [...current, aroma];
  return current.map((text) => {
    const entry = parseEntry(text);
    if (entry.aroma !== aroma || entry.own) return text;
    const next = (entry.strength ?? 0) + 1;
    return next > MAX_STRENGTH ? aroma : `${aroma}:${next}`;
  });
}

/**
 * Note an id at the first tap, raise its strength at further taps, and take it away after the strongest.
 * @param {string[] | null | undefined} entries
 * @param {string} id
 * @returns {string[] | null}
 */
export function cycleGrade(entries, id) {
  const isStrongest = (entries ?? []).includes(`${id}:${MAX_STRENGTH}`);
  return isStrongest ? remove(entries, id) : cycleStrength(entries, id);
}

/** @param {string[] | null | undefined} entries @param {string} aroma @returns {string[] | null} */
export function remove(entries, aroma) {
  const left = (entries ?? []).filter((text) => parseEntry(text).aroma !== aroma);
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

/** @param {string} entry a custom entry */
export function customText(entry) {
  return entry.slice(CUSTOM.length);
}

// Own words that a guest has typed and not added yet, in localStorage with the time of the last letter. When their step
// is not shown any more, the name of a known aroma is added as of that time. Any other text may be half a word, so it
// never leaves this phone: it waits in its field, and is part of the guest's own notes.
import { GUEST_DATABASE } from '../../store/database_name.js';
import { aromaIds, customEntry } from '../aroma/entry.js';
import { knownAroma } from '../aroma/find.js';
import { serverTime } from './clock.js';
import { note, seat, valuesOfGlass } from './seat_state.js';

/** @typedef {{ text: string, ms: number }} Typed */

const PREFIX = `${GUEST_DATABASE}.typed.`;

/** @param {string} glass @param {string} field */
const keyOf = (glass, field) => `${PREFIX}${seat.peek()?.table}/${glass}/${field}`;

/** @param {string} key @returns {[glass: string, field: string]} */
function placeOf(key) {
  const [glass = '', field = ''] = key.slice(PREFIX.length).split('/').slice(1);
  return [glass, field];
}

/** @param {string} key @returns {Typed | null} */
function read(key) {
  try {
    // Earlier releases kept a list, oldest first.
    return [JSON.parse(localStorage.getItem(key) ?? 'null')].flat().at(-1) ?? null;
  } catch {
    return null;
  }
}

/** @param {string} glass @param {string} field @returns {string} */
export function typedText(glass, field) {
  return read(keyOf(glass, field))?.text ?? '';
}

/** @param {string} glass @param {string} field @param {string} text */
export function keepTyped(glass, field, text) {
  const key = keyOf(glass, field);
  try {
    if (!text.trim()) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify({ text, ms: serverTime(seat.peek()?.clock) }));
  } catch {
    // Without localStorage the words are in the open field only.
  }
}

/**
 * @param {string} glass
 * @returns {Record<string, string>} own words by field, which only this phone knows
 */
export function typedOfGlass(glass) {
  /** @type {Record<string, string>} */
  const words = {};
  for (const key of typedKeys(seat.peek()?.table)) {
    const [of, field] = placeOf(key);
    const text = read(key)?.text ?? '';
    const entry = of === glass && !knownAroma(text) ? customEntry(text) : null;
    if (entry) words[field] = entry;
  }
  return words;
}

/**
 * Add the known aromas that were typed at the open table.
 * @param {(glass: string, field: string) => boolean} isShown where somebody may still be typing
 */
export async function addTyped(isShown) {
  for (const key of typedKeys(seat.peek()?.table)) {
    const [glass, field] = placeOf(key);
    const typed = read(key);
    const aroma = typed && knownAroma(typed.text);
    if (!aroma || isShown(glass, field)) continue;
    const noted = valuesOfGlass(glass)[field] ?? [];
    if (!aromaIds(noted).includes(aroma)) await note(glass, field, [...noted, aroma], typed.ms);
    localStorage.removeItem(key);
  }
}

/** @param {string} table that this phone forgets */
export function dropTyped(table) {
  for (const key of typedKeys(table)) localStorage.removeItem(key);
}

/** @param {string | undefined} table @returns {string[]} */
function typedKeys(table) {
  try {
    const of = `${PREFIX}${table}/`;
    return Object.keys(localStorage).filter((key) => key.startsWith(of));
  } catch {
    return [];
  }
}

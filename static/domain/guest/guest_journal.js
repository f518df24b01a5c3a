// Notes that are not committed yet, in localStorage, which is synchronous: a page that is closed does not wait for
// IndexedDB. Each page has its own key, and notes are idempotent, so that any page may replay those of another.
import { GUEST_DATABASE } from '../../store/database_name.js';

const PREFIX = `${GUEST_DATABASE}.unwritten.`;
const key = PREFIX + Date.now().toString(36) + Math.random().toString(36).slice(2);

/** @typedef {import('./guest_store.js').Note} Note */

/** @param {Note} one @param {Note} other */
function isSame(one, other) {
  return one.table === other.table && one.glass === other.glass && one.field === other.field && one.ms === other.ms;
}

/** @param {string} name @returns {Note[]} */
function read(name) {
  try {
    return JSON.parse(localStorage.getItem(name) ?? '[]');
  } catch {
    return [];
  }
}

/** @returns {string[]} */
function keys() {
  try {
    return Object.keys(localStorage).filter((name) => name.startsWith(PREFIX));
  } catch {
    return [];
  }
}

/** @returns {Note[]} of all pages */
export function journaledNotes() {
  return keys().flatMap(read);
}

/** @param {Note[]} committed to remove, from the journal of any page @param {Note[]} added */
export function journalNotes(committed, added) {
  for (const name of new Set([...keys(), ...(added.length ? [key] : [])])) {
    const notes = read(name).filter((note) => !committed.some((one) => isSame(one, note)));
    if (name === key) notes.push(...added);
    try {
      if (notes.length) localStorage.setItem(name, JSON.stringify(notes));
      else localStorage.removeItem(name);
    } catch {
      // Without localStorage only IndexedDB remains.
    }
  }
}

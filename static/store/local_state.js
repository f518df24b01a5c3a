/**
 * Small state that concerns this phone alone, such as a bottle in the ice or a draft of a flight: it outlives a
 * locked screen and a dead phone, and is never sent. A page that is closed loses its running transaction, so it writes
 * what is not committed to localStorage, and `restore` commits that.
 *
 * @template T
 * @typedef {object} LocalState
 * @property {string} name of its row
 * @property {T | null} value null until it is read, and where nothing is stored; reading it subscribes
 * @property {() => T | null} peek the value without subscribing
 * @property {(value: T | null) => Promise<void>} set null removes it
 * @property {() => Promise<void>} restore reads what is stored
 */
import { signal } from '../vendor/signals-core.js';
import { db, withReconnect, transaction } from './database.js';
import { stateKey } from './database_name.js';
import { flushAtPageEnd } from './write_journal.js';

/** @typedef {{ value: unknown, at: number }} Change at: when it was set, in milliseconds since 1970 */

/** @type {Map<string, Change>} values that are not committed yet, by key of localStorage */
const uncommitted = new Map();

const flushState = flushAtPageEnd(() => {
  try {
    for (const [key, change] of uncommitted) localStorage.setItem(key, JSON.stringify(change));
  } catch {
    // Without localStorage only IndexedDB remains.
  }
});

/** @param {string} key @returns {Change | null} what a closed page did not commit */
function leftover(key) {
  try {
    return JSON.parse(localStorage.getItem(key) ?? 'null');
  } catch {
    return null;
  }
}

/** @param {string} key */
function removeLeftover(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // Without localStorage there is none.
  }
}

/**
 * @template T
 * @param {string} name of its row, each once in the app
 * @param {(stored: unknown) => stored is T} isValid what an older release wrote differently is dropped
 * @param {{ property?: string, restored?: 'at once' | 'by the caller' }} [options] property: where the row holds the
 *   value
 * @returns {LocalState<T>}
 */
export function localState(name, isValid, { property = 'kept', restored = 'at once' } = {}) {
  const state = signal(/** @type {T | null} */ (null));
  const key = stateKey + name;
  /** @type {Change} */
  let newest = { value: null, at: 0 };
  async function restore() {
    // Until it is committed, the value of this page is newer than what is stored.
    if (uncommitted.has(key)) return;
    const before = newest;
    const left = leftover(key);
    const row = await withReconnect(() => db.meta.get(name));
    // What was set while it was read is newer.
    if (newest !== before) return;
    // Another tab may have stored a newer value.
    if (left && (left.value === null || isValid(left.value)) && !(row?.at > left.at)) {
      await set(left.value).catch((error) => console.error(error));
      return;
    }
    // A value of this page stays the same object.
    if (row?.at === before.at) return;
    const stored = row?.[property];
    state.value = isValid(stored) ? stored : null;
  }
  if (restored === 'at once') restore().catch((error) => console.error(error));
  /** @param {T | null} value */
  async function set(value) {
    const change = { value, at: Date.now() };
    newest = change;
    state.value = value;
    uncommitted.set(key, change);
    try {
      await transaction('rw', ['meta'], async (tx) => {
        // The newest one, because an aborted transaction is repeated after later ones.
        const { value: stored, at } = newest;
        await tx.meta.put(stored === null ? { name, at } : { name, at, [property]: stored });
      });
    } catch (error) {
      // The page may be closed without an event.
      flushState();
      throw error;
    }
    if (newest !== change) return;
    uncommitted.delete(key);
    removeLeftover(key);
  }
  return {
    name,
    get value() {
      return state.value;
    },
    peek: () => state.peek(),
    restore,
    set,
  };
}

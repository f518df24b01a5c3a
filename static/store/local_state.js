/**
 * Small state that concerns this phone alone, such as a bottle in the ice or a draft of a flight: it outlives a
 * locked screen and a dead phone, and is never sent. A page that is closed loses its running transaction, so it writes
 * what is not committed to localStorage, and `restore` commits that.
 *
 * @template T
 * @typedef {object} LocalState
 * @property {T | null} value null until it is read, and where nothing is stored; reading it subscribes
 * @property {() => T | null} peek the value without subscribing
 * @property {(value: T | null) => Promise<void>} set null removes it
 * @property {() => Promise<void>} restore reads what is stored
 */
import { signal } from '../vendor/signals-core.js';
import { db, withReconnect, transaction } from './database.js';
import { stateKey } from './database_name.js';

/** @type {Map<string, string>} values that are not committed yet, as JSON by key of localStorage */
const uncommitted = new Map();

function flushState() {
  try {
    for (const [key, text] of uncommitted) localStorage.setItem(key, text);
  } catch {
    // Without localStorage only IndexedDB remains.
  }
}

// On phones `visibilitychange` may be the last event before the page is discarded.
addEventListener('pagehide', flushState);
document.addEventListener('visibilitychange', flushState);

/** @param {string} key @returns {{ value: unknown } | null} what a closed page did not commit */
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
  let writes = 0;
  async function restore() {
    // Until it is committed, the value of this page is newer than what is stored.
    if (uncommitted.has(key)) return;
    const left = leftover(key);
    if (left) return set(isValid(left.value) ? left.value : null).catch((error) => console.error(error));
    const before = writes;
    const stored = (await withReconnect(() => db.meta.get(name)))?.[property];
    // What was set while it was read is newer.
    if (writes === before) state.value = isValid(stored) ? stored : null;
  }
  if (restored === 'at once') restore().catch((error) => console.error(error));
  /** @param {T | null} next */
  async function set(next) {
    writes += 1;
    state.value = next;
    const text = JSON.stringify({ value: next });
    uncommitted.set(key, text);
    await transaction('rw', ['meta'], async (tx) => {
      if (next === null) await tx.meta.delete(name);
      else await tx.meta.put({ name, [property]: next });
    });
    if (uncommitted.get(key) !== text) return;
    uncommitted.delete(key);
    removeLeftover(key);
  }
  return {
    get value() {
      return state.value;
    },
    peek: () => state.peek(),
    restore,
    set,
  };
}

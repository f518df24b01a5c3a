/**
 * Small state that concerns this phone alone, such as a bottle in the ice or a draft of a flight: it outlives a
 * locked screen and a dead phone, and is never sent.
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
  let writes = 0;
  async function restore() {
    const before = writes;
    const stored = (await withReconnect(() => db.meta.get(name)))?.[property];
    // What was set while it was read is newer.
    if (writes === before) state.value = isValid(stored) ? stored : null;
  }
  if (restored === 'at once') restore().catch((error) => console.error(error));
  return {
    get value() {
      return state.value;
    },
    peek: () => state.peek(),
    restore,
    async set(next) {
      writes += 1;
      state.value = next;
      await transaction('rw', ['meta'], async (tx) => {
        if (next === null) await tx.meta.delete(name);
        else await tx.meta.put({ name, [property]: next });
      });
    },
  };
}

/**
 * State of this phone only, such as a running chill timer or a draft of a flight. It survives a
 * restart and is never synced.
 *
 * @template T
 * @typedef {{ value: import('../vendor/signals-core.js').ReadonlySignal<T | null>, set: (value: T | null) =>
 *   Promise<void> }} LocalState
 */
import { signal } from '../vendor/signals-core.js';
import { db, withReconnect, transaction } from './database.js';

/**
 * @template T
 * @param {string} name name of the row, unique in the app
 * @param {(kept: unknown) => kept is T} isValid checks the stored value; one with the shape of an
 *   older release is dropped
 * @returns {LocalState<T>} null until it is read, and if nothing is stored
 */
export function localState(name, isValid) {
  const now = signal(/** @type {T | null} */ (null));
  let touched = false;
  withReconnect(() => db.meta.get(name)).then(
    (row) => {
      if (!touched && isValid(row?.kept)) now.value = row.kept;
    },
    (error) => console.error(error),
  );
  return {
    value: now,
    async set(value) {
      touched = true;
      now.value = value;
      await transaction('rw', ['meta'], async (tx) => {
        if (value === null) await tx.meta.delete(name);
        else await tx.meta.put({ name, kept: value });
      });
    },
  };
}

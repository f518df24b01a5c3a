/**
 * Small things of the evening that only concern this phone, such as a bottle in the ice or a draft of a flight:
 * they outlive
 * a locked screen and a dead phone, and never leave it.
 *
 * @template T
 * @typedef {{ value: import('../vendor/signals-core.js').ReadonlySignal<T | null>, set: (value: T | null) =>
 *   Promise<void> }} LocalState
 */
import { signal } from '../vendor/signals-core.js';
import { db, withReconnect, transaction } from './database.js';

/**
 * @template T
 * @param {string} name of its row, each once in the app
 * @param {(kept: unknown) => kept is T} isValid what an older edition wrote differently is let go
 * @returns {LocalState<T>} null until it is read, and where nothing is kept
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

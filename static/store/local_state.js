/**
 * Small things of the evening that only concern this phone, such as a bottle in the ice or a draft of a flight: they outlive
 * a locked screen and a dead phone, and never leave it.
 *
 * @template T
 * @typedef {{ now: import('../vendor/signals-core.js').ReadonlySignal<T | null>, keep: (value: T | null) => Promise<void> }} KeptHere
 */
import { signal } from '../vendor/signals-core.js';
import { db, steady, within } from './database.js';

/**
 * @template T
 * @param {string} name of its row, each once in the app
 * @param {(kept: unknown) => kept is T} isSound what an older edition wrote differently is let go
 * @returns {KeptHere<T>} null until it is read, and where nothing is kept
 */
export function keptHere(name, isSound) {
  const now = signal(/** @type {T | null} */ (null));
  let touched = false;
  steady(() => db.meta.get(name)).then((row) => { if (!touched && isSound(row?.kept)) now.value = row.kept; }, (error) => console.error(error));
  return {
    now,
    async keep(value) {
      touched = true;
      now.value = value;
      await within('rw', ['meta'], async (book) => {
        if (value === null) await book.meta.delete(name);
        else await book.meta.put({ name, kept: value });
      });
    },
  };
}

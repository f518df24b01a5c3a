/** Writes what pages that went away had laid beside the tables. Read only by a start that finds some. */
import { StoreError } from './store_error.js';
import { db, steady } from './tables.js';
import { onWritten } from './unwritten.js';
import { writeEdits } from './write.js';

/** @typedef {import('./write.js').Edit} Edit */

/** @type {Set<string>} keys of what there was no room for; it lies where it lay until a write finds some */
const left = new Set();
onWritten(() => {
  const keys = [...left];
  left.clear();
  if (keys.length) void writeLaid(keys);
});

/** @param {string[]} keys of localStorage */
export async function writeLaid(keys) {
  for (const key of keys) {
    try {
      await writeOrLeave(key);
    } catch (error) {
      // No page lays down what does not pass. It is broken, and would be at every further start.
      console.error(error);
      localStorage.removeItem(key);
    }
  }
}

/** @param {string} key */
async function writeOrLeave(key) {
  /** @type {Edit[]} */
  let edits = JSON.parse(localStorage.getItem(key) ?? '[]');
  try {
    const since = (await steady(() => db.meta.get('clock')))?.last ?? '';
    // Of what is tried a second time the first one counts: what was said between them is newer than these words.
    edits = edits.map((edit) => ({ since, ...edit }));
    await writeEdits(edits);
    localStorage.removeItem(key);
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    left.add(key);
    try {
      localStorage.setItem(key, JSON.stringify(edits));
    } catch {
      // No room for the clock either: it lies as it was laid.
    }
  }
}

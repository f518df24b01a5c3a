/** Writes what pages that went away had laid beside the tables. Read only by a start that finds some. */
import { StoreError } from './store_error.js';
import { writeEdits } from './write.js';

/** @param {string[]} keys of localStorage; what the phone has no room for stays there for another start */
export async function writeLaid(keys) {
  for (const key of keys) {
    try {
      await writeEdits(JSON.parse(localStorage.getItem(key) ?? '[]'));
    } catch (error) {
      if (error instanceof StoreError) return;
      // No page lays down what does not pass. It is broken, and would be at every further start.
      console.error(error);
    }
    localStorage.removeItem(key);
  }
}

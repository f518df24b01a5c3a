/** Writes what pages that went away had laid beside the tables. Read only by a start that finds some. */
import { splitStale } from './stale_edits.js';
import { StoreError } from './errors.js';
import { db, withReconnect } from './database.js';
import { journaled, onCommit } from './write_journal.js';
import { commitEdits } from './write.js';

/** @typedef {import('./write.js').Edit} Edit */

/**
 * @type {Map<string, Edit[]>} by key of localStorage: what there is no room for; it lies where it lay until a write
 *   finds some
 */
const deferred = new Map();
/** @type {Set<string>} keys of `deferred` that nobody is trying to write at this moment */
const resting = new Set();
onCommit(() => {
  const keys = [...resting];
  if (keys.length) void replayJournal(keys);
});

/** @param {string[]} keys of localStorage */
export async function replayJournal(keys) {
  const since = await lastClock();
  for (const key of keys) resting.delete(key);
  // The latest words first: what was said before them then counts as overtaken.
  for (const key of [...keys].sort().reverse()) {
    try {
      await replayOne(key, since);
    } catch (error) {
      // No page lays down what does not pass. It is broken, and would be at every further start.
      console.error(error);
      forget(key);
    }
  }
  journaled.value = [...deferred.keys()].sort().flatMap((key) => deferred.get(key) ?? []);
}

/** @returns {Promise<string>} */
async function lastClock() {
  return (await withReconnect(() => db.meta.get('clock')).catch(() => undefined))?.last ?? '';
}

/** @param {string} key @param {string} since */
async function replayOne(key, since) {
  const read = deferred.get(key) ?? /** @type {Edit[]} */ (JSON.parse(localStorage.getItem(key) ?? '[]'));
  // Of what is tried a second time the first one counts: what was said between them is newer than these words.
  const edits = read.map((edit) => ({ since, ...edit }));
  try {
    await commitEdits(edits, splitStale);
    forget(key);
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    deferred.set(key, edits);
    resting.add(key);
    try {
      localStorage.setItem(key, JSON.stringify(edits));
    } catch {
      // No room for the clock either: it lies as it was laid.
    }
  }
}

/** @param {string} key */
function forget(key) {
  deferred.delete(key);
  localStorage.removeItem(key);
}

/** Replays the write-ahead journals of closed pages. Loaded only if a start finds some. */
import { splitStale } from './stale_edits.js';
import { StoreError } from './errors.js';
import { db, withReconnect } from './database.js';
import { journaled, onCommit } from './write_journal.js';
import { commitEdits } from './write.js';

/** @typedef {import('./write.js').Edit} Edit */

/**
 * @type {Map<string, Edit[]>} edits by key of localStorage that failed because the storage is full;
 *   they stay there until a write succeeds
 */
const deferred = new Map();
/** @type {Set<string>} keys of `deferred` that are not being replayed */
const idleKeys = new Set();
onCommit(() => {
  const keys = [...idleKeys];
  if (keys.length) void replayJournal(keys);
});

/** @param {string[]} keys of localStorage */
export async function replayJournal(keys) {
  const since = await lastClock();
  for (const key of keys) idleKeys.delete(key);
  // Newest first, so that older edits of the same field count as stale.
  for (const key of [...keys].sort().reverse()) {
    try {
      await replayOne(key, since);
    } catch (error) {
      // Pages write only valid edits, so this journal is damaged and would fail at every start.
      console.error(error);
      removeEntry(key);
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
  // A second try keeps its first `since`, because values written in between are newer.
  const edits = read.map((edit) => ({ since, ...edit }));
  try {
    await commitEdits(edits, splitStale);
    removeEntry(key);
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    deferred.set(key, edits);
    idleKeys.add(key);
    try {
      localStorage.setItem(key, JSON.stringify(edits));
    } catch {
      // No space for `since` either; the journal stays as it is.
    }
  }
}

/** @param {string} key */
function removeEntry(key) {
  deferred.delete(key);
  localStorage.removeItem(key);
}

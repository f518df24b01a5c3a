/**
 * Write-ahead journal. A page that is closed does not wait for IndexedDB, and its running
 * transaction is lost. Edits that are not committed yet are therefore written to localStorage,
 * which is synchronous, and the next start replays them (`replay_journal.js`).
 */
import { signal } from '../vendor/signals-core.js';
import { newId } from './record.js';
import { storeState } from './database.js';
import { journalKey } from './database_name.js';

/** @typedef {import('./write.js').Edit} Edit */
/** @typedef {() => Edit[]} Source */

/** Key of this page's journal; other pages of the same database have their own. */
const key = `${journalKey}${newId()}`;
/** @type {Source[]} oldest edits first */
const sources = [];
/** @type {(() => void)[]} */
const listeners = [];
let isFlushed = false;

/** Edits of closed pages that could not be replayed for lack of space, oldest first. */
export const journaled = signal(/** @type {Edit[]} */ ([]));

/**
 * @param {import('./record.js').Kind} kind
 * @param {string} id
 * @returns {import('./record.js').Fields} the journaled fields of one record
 */
export function journaledFields(kind, id) {
  return Object.assign(
    {},
    ...journaled.value.filter((edit) => edit.kind === kind && edit.id === id).map((edit) => edit.fields),
  );
}

/** @param {Source} source returns its edits that are not committed yet */
export function registerPending(source) {
  sources.push(source);
}

/** @param {() => void} listener called after each commit */
export function onCommit(listener) {
  listeners.push(listener);
}

/** Try to replay the journals of closed pages. A successful commit does so too. */
export function tryJournal() {
  for (const listener of listeners) listener();
}

/** Call this after a commit: the journal is written again without the committed edits. */
export function markCommitted() {
  tryJournal();
  if (isFlushed) flushJournal();
}

/** @returns {string[]} keys of the journals of closed pages, and perhaps of other open ones; oldest first */
export function journalKeys() {
  try {
    // Ids sort by the time at which their pages were opened.
    return Object.keys(localStorage)
      .filter((name) => name.startsWith(journalKey) && name !== key)
      .sort();
  } catch {
    return [];
  }
}

/**
 * Flush what is not committed when the page goes away, but nothing of an erased notebook, which must not come back.
 * @param {() => void} flush
 * @returns {() => void} the same for other occasions
 */
export function flushAtPageEnd(flush) {
  const guarded = () => {
    if (storeState.peek() !== 'erased') flush();
  };
  // On phones `visibilitychange` may be the last event before the page is discarded.
  addEventListener('pagehide', guarded);
  document.addEventListener('visibilitychange', guarded);
  return guarded;
}

/** Write uncommitted edits to the journal, or remove it if there are none. */
export const flushJournal = flushAtPageEnd(() => {
  const edits = sources.flatMap((source) => source());
  if (edits.length === 0 && !isFlushed) return;
  try {
    if (edits.length) localStorage.setItem(key, JSON.stringify(edits));
    else localStorage.removeItem(key);
    isFlushed = edits.length > 0;
  } catch {
    // Without localStorage only IndexedDB remains.
  }
});

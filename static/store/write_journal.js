/**
 * What the tables do not hold yet when the page goes away. A page that is closed or loaded anew does not wait for
 * them, and a
 * write that is under way then comes to nothing. So it is laid beside them, where one word at the last moment is
 * enough, and
 * the next start writes it (`replay_journal.js`).
 */
import { signal } from '../vendor/signals-core.js';
import { newId } from './record.js';
import { journalKey } from './database_name.js';

/** @typedef {import('./write.js').Edit} Edit */
/** @typedef {() => Edit[]} Source */

/** Of this page alone: another one of the same book has words of its own. */
const key = `${journalKey}${newId()}`;
/** @type {Source[]} the earliest words first */
const sources = [];
/** @type {(() => void)[]} */
const listeners = [];
let isFlushed = false;

/** What pages that are gone have laid, and there is still no room for; the earliest words first. */
export const journaled = signal(/** @type {Edit[]} */ ([]));

/**
 * @param {import('./record.js').Kind} kind
 * @param {string} id
 * @returns {import('./record.js').Fields} what is laid of one record
 */
export function journaledFields(kind, id) {
  return Object.assign(
    {},
    ...journaled.value.filter((edit) => edit.kind === kind && edit.id === id).map((edit) => edit.fields),
  );
}

/** @param {Source} source says what it has that no table holds yet */
export function registerPending(source) {
  sources.push(source);
}

/** @param {() => void} hear called whenever something was written */
export function onCommit(hear) {
  listeners.push(hear);
}

/** Tries to write what pages that are gone have laid, as every write that finds room does. */
export function tryJournal() {
  for (const hear of listeners) hear();
}

/** To be called when something was written: what is laid beside the tables then is laid again without it. */
export function markCommitted() {
  tryJournal();
  if (isFlushed) flushJournal();
}

/**
 * @returns {string[]} where pages that are gone have laid something, and perhaps another that is still open; the
 *   earliest first
 */
export function journalKeys() {
  try {
    // By the time at which their pages were opened, for that is how ids sort.
    return Object.keys(localStorage)
      .filter((name) => name.startsWith(journalKey) && name !== key)
      .sort();
  } catch {
    return [];
  }
}

/** Lays down what no table holds yet; what lies there already is taken away once there is no such thing. */
export function flushJournal() {
  const edits = sources.flatMap((source) => source());
  if (edits.length === 0 && !isFlushed) return;
  try {
    if (edits.length) localStorage.setItem(key, JSON.stringify(edits));
    else localStorage.removeItem(key);
    isFlushed = edits.length > 0;
  } catch {
    // A browser that keeps no such words leaves it to the tables.
  }
}

// The second comes where a phone puts the app away, and may be the last that the page ever hears.
addEventListener('pagehide', flushJournal);
document.addEventListener('visibilitychange', flushJournal);

/**
 * Asks the browser for persistent storage, and detects the loss of the database. The sentinel is in
 * localStorage, because a browser that deletes a damaged database deletes nothing else.
 */
import { signal } from '../vendor/signals-core.js';
import { databaseName } from './database_name.js';
import { readClockState } from './clock_state.js';
import { timestamp } from '../lib/datetime.js';
import { transaction } from './database.js';

/** Key in localStorage of the sentinel. It goes only when the notebook is erased. */
export const sentinelKey = `${databaseName}.book`;

/**
 * @typedef {{ notes: number, changes: number }} Unsent what only this phone has: notes, and changes of other kinds
 * @typedef {{ book: string, unsent: number, changes?: number, at: string }} Sentinel state of the database when last
 *   seen; unsent: its notes
 */

/**
 * persisted: whether the browser has promised to keep the data; null until asked. loss: a database
 * was lost; `unsent` of its notes and `changes` of other kinds had not reached the server.
 * @type {import('../vendor/signals-core.js').Signal<{ persisted: boolean | null, loss: (Sentinel & { found_at:
 *   string }) | null }>}
 */
export const storageState = signal({ persisted: null, loss: null });

let asked = false;

/** Call this after every save: the first one is a good moment to ask for persistent storage. */
export function afterSave() {
  if (asked) return;
  asked = true;
  requestPersistence();
}

/** Ask the browser to keep the data; harmless to repeat. @returns {Promise<boolean>} */
export async function requestPersistence() {
  const persisted = await (navigator.storage?.persist?.().catch(() => false) ?? false);
  storageState.value = { ...storageState.value, persisted };
  return persisted;
}

/**
 * Update the sentinel when the outbox was read.
 * @param {string} database its id
 * @param {Unsent} unsent
 */
export async function refreshSentinel(database, unsent) {
  const before = readSentinel();
  if (before && before.book !== database) await detectLoss();
  writeSentinel({ book: database, unsent: unsent.notes, changes: unsent.changes, at: timestamp() });
}

/**
 * Compare the sentinel with the database, which gets a new id if it was lost. A loss is stored in
 * `meta` until the user has read it.
 */
export async function detectLoss() {
  const sentinel = readSentinel();
  const { row, loss } =
    (await previousState(sentinel)) ??
    (await transaction('rw', ['meta'], async (tx) => {
      const clock = await readClockState(tx);
      const known = await tx.meta.get('loss');
      if (known || !sentinel) return { row: clock, loss: known?.loss ?? null };
      const found = { ...sentinel, found_at: timestamp() };
      await tx.meta.put({ name: 'loss', loss: found });
      return { row: clock, loss: found };
    }));
  if (sentinel?.book !== row.book) writeSentinel({ book: row.book, unsent: 0, at: timestamp() });
  storageState.value = { ...storageState.value, loss };
  checkPersisted();
}

/** Return the state of a normal start, without writing. @param {Sentinel | null} sentinel */
async function previousState(sentinel) {
  const [row, known] = await transaction('r', ['meta'], (tx) => tx.meta.bulkGet(['clock', 'loss']));
  const isSame = row && (!sentinel || sentinel.book === row.book);
  return isSame ? { row, loss: known?.loss ?? null } : null;
}

/** Check the browser's promise in the background. */
async function checkPersisted() {
  const persisted = await (navigator.storage?.persisted?.().catch(() => null) ?? null);
  storageState.value = { ...storageState.value, persisted };
}

/** Mark the loss as read. */
export async function acknowledgeLoss() {
  await transaction('rw', ['meta'], (tx) => tx.meta.delete('loss'));
  storageState.value = { ...storageState.value, loss: null };
}

/** @param {Sentinel} sentinel */
function writeSentinel(sentinel) {
  try {
    localStorage.setItem(sentinelKey, JSON.stringify(sentinel));
  } catch {
    // Without localStorage only the warning is lost, not the data.
  }
}

/** @returns {Sentinel | null} */
function readSentinel() {
  try {
    return JSON.parse(localStorage.getItem(sentinelKey) ?? 'null');
  } catch {
    return null;
  }
}

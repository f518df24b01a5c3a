/**
 * Whether this browser keeps the book: asks for lasting storage, and notices when a book has been lost.
 * The sentinel lies in localStorage because a browser that loses a damaged database loses nothing else with it.
 */
import { signal } from '../vendor/signals-core.js';
import { databaseName } from './database_name.js';
import { readClockState } from './clock_state.js';
import { timestamp } from '../lib/datetime.js';
import { transaction } from './database.js';

const SENTINEL = `${databaseName}.book`;

/** @typedef {{ book: string, unsent: number, at: string }} Sentinel what was here, by the last look */

/**
 * persisted: true where the browser has promised to keep the book, false where it has not, null while not asked.
 * loss: a book was here and is gone; `unsent` of its notes had not reached the server.
 * @type {import('../vendor/signals-core.js').Signal<{ persisted: boolean | null, loss: (Sentinel & { found_at:
 *   string }) | null }>}
 */
export const storageState = signal({ persisted: null, loss: null });

let asked = false;

/** Called after every save: the first one is the moment at which lasting storage makes sense. */
export function afterSave() {
  if (asked) return;
  asked = true;
  requestPersistence();
}

/** Asks the browser to keep the book; harmless to repeat. @returns {Promise<boolean>} */
export async function requestPersistence() {
  const persisted = await (navigator.storage?.persist?.().catch(() => false) ?? false);
  storageState.value = { ...storageState.value, persisted };
  return persisted;
}

/**
 * Called with every look at the outbox.
 * @param {string} tx the id of the book in the tables
 * @param {number} unsent notes that only this phone has
 */
export async function refreshSentinel(tx, unsent) {
  const before = readSentinel();
  if (before && before.book !== tx) await detectLoss();
  writeSentinel({ book: tx, unsent, at: timestamp() });
}

/**
 * Compares the sentinel with the tables, which begin a new book where there is none. A loss is kept in `meta` until
 * it has
 * been read.
 */
export async function detectLoss() {
  const sentinel = readSentinel();
  const { row, loss } =
    (await previousState(sentinel)) ??
    (await transaction('rw', ['meta'], async (tx) => {
      const clock = await readClockState(tx);
      const known = await tx.meta.get('loss');
      if (known || !sentinel || sentinel.book === clock.book) return { row: clock, loss: known?.loss ?? null };
      const found = { ...sentinel, found_at: timestamp() };
      await tx.meta.put({ name: 'loss', loss: found });
      return { row: clock, loss: found };
    }));
  if (sentinel?.book !== row.book) writeSentinel({ book: row.book, unsent: 0, at: timestamp() });
  storageState.value = { ...storageState.value, loss };
  checkPersisted();
}

/** The usual start, which writes nothing. @param {Sentinel | null} sentinel */
async function previousState(sentinel) {
  const [row, known] = await transaction('r', ['meta'], (tx) => tx.meta.bulkGet(['clock', 'loss']));
  const isSame = row && (known || !sentinel || sentinel.book === row.book);
  return isSame ? { row, loss: known?.loss ?? null } : null;
}

/** Nothing waits for the browser's answer. */
async function checkPersisted() {
  const persisted = await (navigator.storage?.persisted?.().catch(() => null) ?? null);
  storageState.value = { ...storageState.value, persisted };
}

/** The taster has read that a book was lost. */
export async function acknowledgeLoss() {
  await transaction('rw', ['meta'], (tx) => tx.meta.delete('loss'));
  storageState.value = { ...storageState.value, loss: null };
}

/** @param {Sentinel} sentinel */
function writeSentinel(sentinel) {
  try {
    localStorage.setItem(SENTINEL, JSON.stringify(sentinel));
  } catch {
    // A browser without localStorage only loses the warning, not the book.
  }
}

/** @returns {Sentinel | null} */
function readSentinel() {
  try {
    return JSON.parse(localStorage.getItem(SENTINEL) ?? 'null');
  } catch {
    return null;
  }
}

/**
 * Copies the open notebook into another one on this phone, which has the same owner.
 *
 * @typedef {import('../vendor/dexie.js').Dexie} Dexie
 * @typedef {import('../store/database.js').OutboxEntry} OutboxEntry
 */
import DexieDatabase from '../vendor/dexie.js';
import { databaseName, dropSnapshot, frameKey, snapshotKey, stateKey } from '../store/database_name.js';
import { db } from '../store/database.js';
import { maxClock } from '../store/hlc.js';
import { merge } from '../store/merge.js';
import { entryOf, requeue, toChange, withRevisions } from '../store/outbox.js';
import { kinds, toRow } from '../store/record.js';
import { readAfterWrites } from '../store/write.js';
import { journalKeys } from '../store/write_journal.js';

/** Rows of `meta` that are about one database. */
const OF_ONE_DATABASE = ['clock', 'owner', 'server', 'loss'];

/**
 * Copy the open notebook. To copy it twice changes nothing.
 * @param {string} name of the other database
 */
export async function copyNotebook(name) {
  const other = new DexieDatabase(name, { autoOpen: false, chromeTransactionDurability: 'strict' });
  await other.open();
  try {
    await readAfterWrites(async () => {
      const photos = await copyPhotos(other, []);
      // After most photos, which take long: another tab may write meanwhile.
      for (const table of [...kinds, 'unknown_kind']) await copyRecords(other, table);
      await copyPhotos(other, photos);
      await copyState(other);
    });
  } finally {
    other.close();
  }
  copyJournals(name);
}

/**
 * @param {Dexie} other
 * @param {string[]} copied ids of photos that are there already
 * @returns {Promise<string[]>} the ids of all
 */
async function copyPhotos(other, copied) {
  const ids = await db.photo_bytes.toCollection().primaryKeys();
  for (const id of ids.filter((each) => !copied.includes(each))) {
    // One at a time, because all of them may not fit into memory.
    await other.table('photo_bytes').put(await db.photo_bytes.get(id));
  }
  return ids;
}

/** @param {Dexie} other @param {string} from a table */
async function copyRecords(other, from) {
  const rows = await db.table(from).toArray();
  if (rows.length === 0) return;
  const ids = rows.map(({ id }) => id);
  const sent = await db.outbox.bulkGet(ids);
  // A database of an older release moves its unknown kinds when it is opened.
  const to = other.tables.some(({ name }) => name === from) ? from : 'unknown_kind';
  await other.transaction('rw', [to, 'outbox'], async (tx) => {
    const before = await tx.table(to).bulkGet(ids);
    const unsent = await tx.table('outbox').bulkGet(ids);
    await tx.table(to).bulkPut(rows.map((row, at) => toRow(merge(before[at] ?? null, row).record)));
    const entries = sent.flatMap((entry, at) => (entry ? [mergedEntry(unsent[at], entry)] : []));
    await tx.table('outbox').bulkPut(entries);
  });
}

/**
 * @param {OutboxEntry | undefined} before
 * @param {OutboxEntry} entry
 * @returns {OutboxEntry} with what is unconfirmed of both
 */
function mergedEntry(before, entry) {
  if (!before) return entry;
  const { record } = merge(toChange(before), toChange(entry));
  const superseded = [before, entry].flatMap((one) => requeue(record, one).earlier ?? []);
  return withRevisions(entryOf(record), superseded);
}

/** Copy the state of this phone, such as a running timer and what was typed but is invalid. @param {Dexie} other */
async function copyState(other) {
  const rows = await db.meta.toArray();
  await other.transaction('rw', ['meta'], async (tx) => {
    const meta = tx.table('meta');
    const [clock, faulty] = await meta.bulkGet(['clock', 'faulty']);
    for (const row of rows) {
      // The next clock of the other notebook must be later than all that were copied.
      if (row.name === 'clock') await meta.update('clock', { last: maxClock(clock?.last, row.last) });
      else if (row.name === 'faulty') await meta.put({ ...row, pours: { ...faulty?.pours, ...row.pours } });
      else if (!OF_ONE_DATABASE.includes(row.name)) await meta.put(row);
    }
  });
}

/** @param {string} name of the other database */
function copyJournals(name) {
  const renamed = (/** @type {string} */ key) => key.replace(databaseName, name);
  const states = Object.keys(localStorage).filter((key) => key.startsWith(stateKey));
  for (const key of [...journalKeys(), ...states]) {
    const text = localStorage.getItem(key);
    if (text !== null) localStorage.setItem(renamed(key), text);
  }
  dropSnapshot([snapshotKey, frameKey].map(renamed));
}

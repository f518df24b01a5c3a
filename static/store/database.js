/**
 * The tables of the book on the phone, and the one way into them.
 *
 * @typedef {import('./record.js').Row} Row
 * @typedef {import('./record.js').BookRecord} BookRecord
 * @typedef {import('./record.js').Kind} Kind
 *
 * @typedef {Pick<BookRecord, 'fields' | 'clocks' | 'deleted' | 'deleted_clock'>} Delta
 * @typedef {Object} OutboxEntry what the server has not confirmed of one record: a change as it goes on the wire,
 *   and how it fares
 * @property {string} id
 * @property {Kind} kind
 * @property {Record<string, any>} fields
 * @property {Record<string, string>} clocks
 * @property {boolean} deleted
 * @property {string | null} deleted_clock
 * @property {Delta[]} [earlier] what stood here before and was never sent, the oldest first; absent where there is
 *   nothing
 * @property {0 | 1 | 2} held 0: goes up next; 1: refused, until somebody mends it; 2: broke the server, waits for
 *   `not_before_ms`
 * @property {Record<string, {code: string, bound?: number}[]> | null} errors why it was refused
 * @property {number} tries times that the server failed over this record alone
 * @property {number} not_before_ms when to offer it again
 */
import Dexie from '../vendor/dexie.js';
import { signal } from '../vendor/signals-core.js';
import { databaseName, dropSnapshot } from './database_name.js';
import { StoreError, isConnectionLost, storeError } from './errors.js';

/** Every published step stays here for good: a phone may come from any of them. */
const SCHEMA_VERSIONS = [
  {
    version: 1,
    stores: {
      tasting: 'id, fields.tasted_at, fields.bottle, fields.visit',
      bottle: 'id, fields.gtin',
      visit: 'id',
      pick: 'id, fields.bottle',
      stock: 'id, fields.bottle',
      photo: 'id, fields.bottle, fields.tasting',
      settings: 'id',
      // Records of kinds that only a newer client knows, kept until this one is newer too.
      unknown_kind: 'id, kind',
      outbox: 'id, kind, held',
      meta: 'name',
      photo_bytes: 'id, state',
      cache: 'name',
    },
  },
];

/** Of what the Book's first page shows. */
const SNAPSHOT_TABLES = new Set(['tasting', 'bottle', 'visit', 'settings']);

/**
 * @typedef {import('../vendor/dexie.js').Table<Row, string>} RowTable
 * @typedef {import('../vendor/dexie.js').Table<OutboxEntry, string>} OutboxTable
 * @typedef {import('../vendor/dexie.js').Table<any, string>} OtherTable
 * @typedef {Record<Kind, RowTable> & {
 *   unknown_kind: RowTable, outbox: OutboxTable, meta: OtherTable, photo_bytes: OtherTable, cache: OtherTable,
 * }} Tables
 * @typedef {import('../vendor/dexie.js').Dexie & Tables} Transaction
 */

// On localhost Dexie keeps a trace of every promise, which nothing here reads.
Dexie.debug = false;

/** @param {'strict' | 'relaxed'} durability */
function connect(durability) {
  const database = /** @type {Transaction} */ (
    /** @type {unknown} */ (new Dexie(databaseName, { chromeTransactionDurability: durability }))
  );
  for (const step of SCHEMA_VERSIONS) database.version(step.version).stores(step.stores);
  // A newer version of the app in another tab wants to change the tables: step aside at once, or it waits for ever.
  database.on('versionchange', (event) => {
    if (event.newVersion === null) return;
    database.close({ disableAutoOpen: true });
    storeState.value = 'outdated';
  });
  database.on('blocked', () => {
    storeState.value = 'blocked';
  });
  return database;
}

/**
 * closed: not opened yet; blocked: an older tab still holds the tables; outdated: this tab is the older one and must be
 * loaded again; no_storage: the browser keeps nothing for this page; connection_lost: to be loaded again;
 * full: the phone has no room left (the last save failed, all before it are there).
 * @type {import('../vendor/signals-core.js').Signal<'closed' | 'ready' | 'blocked' | 'outdated' | 'no_storage' |
 *   'connection_lost' | 'full'>}
 */
export const storeState = signal('closed');

/** What the taster saves is on the disk before it counts as saved. */
export const db = connect('strict');
/** What can be fetched or made again need not wait for the disk. Opened when it is first used. */
const relaxed = connect('relaxed');

/** Opens the tables. @throws {StoreError} */
export async function openTables() {
  await withReconnect(() => db.open());
  storeState.value = 'ready';
}

/**
 * One transaction over some tables: all of `work` is stored, or nothing.
 * @template T
 * @param {'r' | 'rw'} mode
 * @param {string[]} tables
 * @param {(book: Transaction) => Promise<T>} work awaits nothing but the tables
 * @param {{ strict?: boolean }} [options] strict: on the disk before it resolves
 * @returns {Promise<T>}
 * @throws {StoreError} or what `work` throws
 */
export async function transaction(mode, tables, work, { strict = true } = {}) {
  const tx = strict ? db : relaxed;
  if (mode === 'rw' && tables.some((table) => SNAPSHOT_TABLES.has(table))) dropSnapshot();
  // Dexie follows the awaits of an async function only; behind a plain one the transaction would end too early.
  const done = await withReconnect(() => tx.transaction(mode, tables, async () => work(tx)));
  if (mode === 'rw' && strict && storeState.value === 'full') storeState.value = 'ready';
  return done;
}

/**
 * How long the system may still be closing what it closed: an opening that comes too early is broken off with it. A
 * second in
 * all, for somebody waits.
 */
const PAUSES_MS = [0, 50, 200, 750];
let timesClosed = 0;

/**
 * Runs `work` again, on fresh connections, when the system has closed the old ones (phones do so in the background).
 * @template T
 * @param {() => PromiseLike<T>} work leaves the same state when it is run twice
 * @returns {Promise<T>}
 */
export async function withReconnect(work) {
  for (let time = 0; ; time += 1) {
    const before = timesClosed;
    try {
      return await work();
    } catch (error) {
      const pause_ms = PAUSES_MS[time];
      if (pause_ms === undefined || !isConnectionLost(error) || storeState.value === 'outdated')
        throw toStoreError(error);
      if (pause_ms)
        await new Promise((go) => {
          setTimeout(go, pause_ms);
        });
      // Somebody else who lost the same connections may be at work on fresh ones already.
      if (timesClosed === before) closeConnections();
    }
  }
}

/** Whoever comes next opens them anew. */
function closeConnections() {
  timesClosed += 1;
  for (const tx of [db, relaxed]) tx.close({ disableAutoOpen: false });
}

/** @param {unknown} cause */
function toStoreError(cause) {
  const error = storeError(cause);
  if (error instanceof StoreError && storeState.value !== 'outdated') storeState.value = error.code;
  return error;
}

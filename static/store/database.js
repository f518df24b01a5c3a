/**
 * Database schema on the phone, and the only access to it.
 *
 * @typedef {import('./record.js').Row} Row
 * @typedef {import('./record.js').BookRecord} BookRecord
 * @typedef {import('./record.js').Kind} Kind
 *
 * @typedef {Pick<BookRecord, 'fields' | 'clocks' | 'deleted' | 'deleted_clock'>} Delta
 * @typedef {Object} OutboxEntry unconfirmed changes of one record in wire format, and their sync
 *   status
 * @property {string} id
 * @property {Kind} kind
 * @property {Record<string, any>} fields
 * @property {Record<string, string>} clocks
 * @property {boolean} deleted
 * @property {string | null} deleted_clock
 * @property {Delta[]} [earlier] superseded values that were never sent, oldest first; absent if
 *   there are none
 * @property {0 | 1 | 2} held 0: to be sent; 1: rejected, until the user fixes it; 2: caused a
 *   server error, waits for `not_before_ms`
 * @property {Record<string, {code: string, bound?: number}[]> | null} errors why it was rejected
 * @property {number} tries number of server errors for this record alone
 * @property {number} not_before_ms time of the next try
 */
import Dexie from '../vendor/dexie.js';
import { signal } from '../vendor/signals-core.js';
import { databaseName, dropSnapshot, frameKey, snapshotKey } from './database_name.js';
import { StoreError, isConnectionLost, storeError } from './errors.js';

/** Published versions stay here for good, because a phone may upgrade from any of them. */
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
      // Records of kinds that only a newer client knows, kept until this client is updated.
      unknown_kind: 'id, kind',
      outbox: 'id, kind, held',
      meta: 'name',
      photo_bytes: 'id, state',
      cache: 'name',
    },
  },
  {
    version: 2,
    stores: {
      group_tasting: 'id',
      glass: 'id, fields.group_tasting, fields.bottle',
      guest: 'id, fields.group_tasting, fields.person',
      person: 'id',
      sheet: 'id, fields.group_tasting, fields.glass, fields.guest',
    },
    upgrade: moveKnownKinds,
  },
  { version: 3, stores: { bottle: 'id, fields.gtin, fields.merged_into' }, upgrade: null },
];

/**
 * Move records that arrived before this client knew their kind into the table of that kind.
 * @param {import('../vendor/dexie.js').Transaction} upgrade
 */
async function moveKnownKinds(upgrade) {
  const unknown = upgrade.table('unknown_kind');
  for (const kind of ['group_tasting', 'glass', 'guest', 'person', 'sheet']) {
    const rows = await unknown.where('kind').equals(kind).toArray();
    await upgrade.table(kind).bulkPut(rows);
    await unknown.where('kind').equals(kind).delete();
  }
}

/**
 * Tables that the notebook's first page shows, and what a write to them makes stale.
 * @type {Record<string, string[]>}
 */
const STALE_KEYS = { tasting: [snapshotKey], bottle: [snapshotKey], settings: [snapshotKey, frameKey] };

/**
 * Drop what a transaction makes stale of the snapshot. Before the commit, so that a closed page leaves nothing stale;
 * after the write, so that no transaction reads the old records any more.
 * @type {import('../vendor/dexie.js').Middleware<import('../vendor/dexie.js').DBCore>}
 */
const dropsSnapshot = {
  stack: 'dbcore',
  create: (core) => ({
    ...core,
    table(name) {
      const table = core.table(name);
      return {
        ...table,
        mutate: (request) =>
          table.mutate(request).then((done) => {
            const keys = STALE_KEYS[name];
            if (keys) dropSnapshot(keys, 'values' in request ? request.values : undefined);
            return done;
          }),
      };
    },
  }),
};

/**
 * @typedef {import('../vendor/dexie.js').Table<Row, string>} RowTable
 * @typedef {import('../vendor/dexie.js').Table<OutboxEntry, string>} OutboxTable
 * @typedef {import('../vendor/dexie.js').Table<any, string>} OtherTable
 * @typedef {Record<Kind, RowTable> & {
 *   unknown_kind: RowTable, outbox: OutboxTable, meta: OtherTable, photo_bytes: OtherTable, cache: OtherTable,
 * }} Tables
 * @typedef {import('../vendor/dexie.js').Dexie & Tables} Transaction
 */

// On localhost Dexie records a stack trace for every promise, which is not needed.
Dexie.debug = false;

/** @param {'strict' | 'relaxed'} durability */
function connect(durability) {
  const database = /** @type {Transaction} */ (
    /** @type {unknown} */ (new Dexie(databaseName, { chromeTransactionDurability: durability }))
  );
  for (const { version, stores, upgrade } of SCHEMA_VERSIONS) {
    const step = database.version(version).stores(stores);
    if (upgrade) step.upgrade(upgrade);
  }
  database.use(dropsSnapshot);
  // A newer version in another tab upgrades the schema, or a tab erases the notebook: close at once,
  // because it waits for this tab.
  database.on('versionchange', (event) => {
    database.close({ disableAutoOpen: true });
    storeState.value = event.newVersion ? 'outdated' : 'erased';
    // Skip Dexie's own handler, because with it the next query would open the database again.
    return false;
  });
  database.on('blocked', () => {
    storeState.value = 'blocked';
  });
  return database;
}

/**
 * closed: not opened yet; blocked: waits for an older tab to close the database; outdated: a newer
 * tab has upgraded the schema, reload; erased: this tab or another one, which then reloads every
 * tab; no_storage: the browser offers no IndexedDB; connection_lost: reload; full: the last save
 * failed for lack of space, earlier ones are stored.
 * @type {import('../vendor/signals-core.js').Signal<'closed' | 'ready' | 'blocked' | 'outdated' | 'erased' |
 *   'no_storage' | 'connection_lost' | 'full'>}
 */
export const storeState = signal('closed');
/** Tell whether this page must not open the database again. */
const isOver = () => ['outdated', 'erased'].includes(storeState.value);

/** Connection for user data: durable before a transaction resolves. */
export const db = connect('strict');
/**
 * Connection for data that can be fetched or computed again, which need not be durable. Opened on
 * first use.
 */
const relaxed = connect('relaxed');

/** Open the database. @throws {StoreError} */
export async function openTables() {
  await withReconnect(() => db.open());
  storeState.value = 'ready';
}

/**
 * Run one transaction: everything in `work` is stored, or nothing.
 * @template T
 * @param {'r' | 'rw'} mode
 * @param {string[]} tables
 * @param {(book: Transaction) => Promise<T>} work must await only operations of this transaction
 * @param {{ strict?: boolean }} [options] strict: durable before it resolves
 * @returns {Promise<T>}
 * @throws {StoreError} or what `work` throws
 */
export async function transaction(mode, tables, work, { strict = true } = {}) {
  const tx = strict ? db : relaxed;
  // Dexie tracks awaits only in async functions; with a plain function the transaction would end
  // too early.
  const done = await withReconnect(() => tx.transaction(mode, tables, async () => work(tx)));
  if (mode === 'rw' && strict && storeState.value === 'full') storeState.value = 'ready';
  return done;
}

/**
 * Waits between attempts to reopen: an attempt fails while the system is still closing the
 * database. One second in total, because the user waits.
 */
const PAUSES_MS = [0, 50, 200, 750];
let timesClosed = 0;

/**
 * Run `work` again on new connections if the system has closed the old ones, as phones do in the
 * background.
 * @template T
 * @param {() => PromiseLike<T>} work must be idempotent
 * @returns {Promise<T>}
 */
export async function withReconnect(work) {
  for (let time = 0; ; time += 1) {
    const before = timesClosed;
    try {
      return await work();
    } catch (error) {
      const pause_ms = PAUSES_MS[time];
      if (pause_ms === undefined || !isConnectionLost(error) || isOver()) throw toStoreError(error);
      if (pause_ms)
        await new Promise((go) => {
          setTimeout(go, pause_ms);
        });
      // Another call that lost the same connections may have replaced them already.
      if (timesClosed === before) closeConnections();
    }
  }
}

/** Close the connections; the next call reopens them. */
function closeConnections() {
  timesClosed += 1;
  for (const tx of [db, relaxed]) tx.close({ disableAutoOpen: false });
}

/** @param {unknown} cause */
function toStoreError(cause) {
  const error = storeError(cause);
  if (error instanceof StoreError && !isOver()) storeState.value = error.code;
  return error;
}

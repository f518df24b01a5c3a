import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import Dexie from '../../static/vendor/dexie.js';
import { databaseName, frameKey, snapshotKey } from '../../static/store/database_name.js';
import { db, openTables, storeState, transaction, withReconnect } from '../../static/store/database.js';
import { StoreError } from '../../static/store/errors.js';
import { emptyBook } from './support.mjs';

beforeEach(async () => {
  await openTables();
  await emptyBook();
});
afterEach(() => mock.restoreAll());

/** @param {string} name */
const named = (name) => Object.assign(new Error(name), { name });
const lost = () => named('UnknownError');

/**
 * Create work that fails a number of times.
 * @param {number} failures
 * @param {() => unknown} [error]
 */
function failing(failures, error = lost) {
  let calls = 0;
  return mock.fn(async () => {
    calls += 1;
    if (calls <= failures) throw error();
    return calls;
  });
}

/** Note the pauses, without waiting. @returns {unknown[]} */
function withoutPauses() {
  /** @type {unknown[]} */
  const pauses = [];
  mock.method(globalThis, 'setTimeout', (/** @type {() => void} */ go, /** @type {unknown} */ ms) => {
    pauses.push(ms);
    go();
  });
  return pauses;
}

test('work is repeated on new connections after these were lost', async () => {
  const close = mock.method(db, 'close').mock;
  const pauses = withoutPauses();
  assert.equal(await withReconnect(failing(4)), 5);
  assert.deepEqual(pauses, [50, 200, 750]);
  assert.equal(close.callCount(), 4);
  assert.deepEqual(close.calls[0]?.arguments, [{ disableAutoOpen: false }]);
  assert.equal((await db.meta.get('clock')).name, 'clock');
});

test('both connections are replaced', async () => {
  await transaction('r', ['meta'], (tx) => tx.meta.get('clock'), { strict: false });
  const close = mock.method(IDBDatabase.prototype, 'close').mock;
  await withReconnect(failing(1));
  assert.equal(close.callCount(), 2);
});

test('a save is durable before it resolves, a copy need not be', async () => {
  const begun = mock.method(IDBDatabase.prototype, 'transaction').mock;
  // Dexie takes the method when it opens a connection.
  await withReconnect(failing(1));
  const work = (/** @type {any} */ tx) => tx.meta.get('clock');
  assert.equal((await transaction('rw', ['meta'], work))?.name, 'clock');
  assert.equal((await transaction('rw', ['meta'], work, { strict: false }))?.name, 'clock');
  assert.deepEqual(
    begun.calls.flatMap(({ arguments: [, , options] }) => options ?? []),
    [{ durability: 'strict' }, { durability: 'relaxed' }],
  );
});

test('a save does not change what else is shown', async () => {
  storeState.value = 'blocked';
  await transaction('rw', ['meta'], (tx) => tx.meta.put({ name: 'a' }));
  assert.equal(storeState.value, 'blocked');
});

test('the database is opened before it is called ready', async () => {
  db.close({ disableAutoOpen: false });
  storeState.value = 'closed';
  await openTables();
  assert.deepEqual([db.isOpen(), db.verno, storeState.value], [true, 3, 'ready']);
  storeState.value = 'closed';
  mock.method(db, 'open', () => Promise.reject(named('MissingAPIError')));
  await assert.rejects(openTables(), StoreError);
  assert.equal(storeState.value, 'no_storage');
});

test('no stack trace is recorded for each promise', async () => {
  Dexie.debug = true;
  await import('../../static/store/database.js?anew');
  assert.equal(Dexie.debug, false);
});

test('a fifth loss is shown', async () => {
  withoutPauses();
  await assert.rejects(
    withReconnect(failing(5)),
    (error) => error instanceof StoreError && error.code === 'connection_lost',
  );
  assert.equal(storeState.value, 'connection_lost');
});

test('calls that lost the same connections replace them once', async () => {
  const close = mock.method(db, 'close').mock;
  await Promise.all([withReconnect(failing(1)), withReconnect(failing(1))]);
  assert.equal(close.callCount(), 1);
});

test('another error is not tried again', async () => {
  const work = failing(1, () => new RangeError('wrong'));
  await assert.rejects(withReconnect(work), RangeError);
  assert.equal(work.mock.callCount(), 1);
  assert.equal(storeState.value, 'ready');
});

test('a full storage is shown until a save succeeds', async () => {
  const full = () => named('QuotaExceededError');
  await assert.rejects(withReconnect(failing(1, full)), StoreError);
  assert.equal(storeState.value, 'full');
  await transaction('r', ['meta'], (tx) => tx.meta.get('clock'));
  assert.equal(storeState.value, 'full', 'nothing was saved');
  await transaction('rw', ['cache'], (tx) => tx.cache.put({ name: 'a' }), { strict: false });
  assert.equal(storeState.value, 'full', 'it may have been dropped');
  await transaction('rw', ['meta'], (tx) => tx.meta.put({ name: 'a' }));
  assert.equal(storeState.value, 'ready');
});

test('an outdated page stays so', async () => {
  storeState.value = 'outdated';
  const work = failing(1);
  await assert.rejects(withReconnect(work), StoreError);
  assert.equal(work.mock.callCount(), 1);
  assert.equal(storeState.value, 'outdated');
});

test('a transaction stores everything or nothing', async () => {
  const half = transaction('rw', ['meta', 'cache'], async (tx) => {
    await tx.meta.put({ name: 'half' });
    await tx.cache.put({ name: 'half' });
    throw new RangeError('stop');
  });
  await assert.rejects(half, RangeError);
  assert.deepEqual([await db.meta.get('half'), await db.cache.get('half')], [undefined, undefined]);
});

test('a write to what the first page shows drops its snapshot', async () => {
  const keys = [snapshotKey, frameKey];
  for (const [table, expected] of /** @type {const} */ ([
    ['tasting', [null, 'x']],
    ['bottle', [null, 'x']],
    ['settings', [null, null]],
    ['visit', ['x', 'x']],
  ])) {
    for (const key of keys) localStorage.setItem(key, 'x');
    await transaction('rw', [table], (tx) => tx.table(table).count());
    assert.equal(localStorage.getItem(snapshotKey), 'x', 'nothing was written');
    await transaction('rw', [table], async (tx) => {
      await tx.table(table).bulkPut([{ id: 'a' }]);
      assert.deepEqual(
        keys.map((key) => localStorage.getItem(key)),
        expected,
        `${table}, before the commit`,
      );
    });
    localStorage.setItem(snapshotKey, 'x');
    await db.table(table).delete('a');
    assert.equal(localStorage.getItem(snapshotKey), expected[0], `${table}, outside of a transaction`);
  }
});

test('a write to a row of the first page marks only that row', async () => {
  const seen = JSON.stringify(['a', 'b'].map((id) => ['a', { href: `#/book/${id}` }, [id]]));
  localStorage.setItem(frameKey, 'x');
  const after = async (/** @type {() => PromiseLike<unknown>} */ write) => {
    localStorage.setItem(snapshotKey, seen);
    await write();
    return localStorage.getItem(snapshotKey);
  };
  const marked = JSON.stringify([
    ['a', { href: '#/book/a' }, ['a']],
    ['a', { href: '#/book/b', stale: '' }, ['b']],
  ]);
  assert.equal(await after(() => db.tasting.bulkPut([{ id: 'b' }])), marked);
  const twice = async () => {
    await db.tasting.bulkPut([{ id: 'b' }]);
    await db.tasting.bulkPut([{ id: 'b' }]);
  };
  assert.equal(await after(twice), marked);
  assert.equal(await after(() => db.tasting.bulkPut([{ id: 'b' }, { id: 'c' }])), null, 'not every row is there');
  assert.equal(await after(() => db.bottle.bulkPut([{ id: 'd' }])), null);
  assert.equal(await after(() => db.tasting.delete('b')), null);
  localStorage.removeItem(frameKey);
  assert.equal(await after(() => db.tasting.bulkPut([{ id: 'b' }])), null, 'a page without a frame');
});

test('a full storage keeps no snapshot that is out of date', async () => {
  localStorage.setItem(frameKey, 'x');
  localStorage.setItem(snapshotKey, '["a",{"href":"#/book/a"},[]]');
  const full = mock.method(Object.getPrototypeOf(localStorage), 'setItem', () => {
    throw named('QuotaExceededError');
  });
  await db.tasting.bulkPut([{ id: 'a' }]);
  full.mock.restore();
  assert.equal(localStorage.getItem(snapshotKey), null);
});

test('the tables have their indexes', () => {
  const indexes = Object.fromEntries(
    db.tables.map(({ name, schema }) => [name, [schema.primKey, ...schema.indexes].map((index) => index.name).join()]),
  );
  assert.deepEqual(indexes, {
    tasting: 'id,fields.tasted_at,fields.bottle,fields.visit',
    bottle: 'id,fields.gtin,fields.merged_into',
    visit: 'id',
    pick: 'id,fields.bottle',
    stock: 'id,fields.bottle',
    photo: 'id,fields.bottle,fields.tasting',
    settings: 'id',
    unknown_kind: 'id,kind',
    outbox: 'id,kind,held',
    meta: 'name',
    photo_bytes: 'id,state',
    cache: 'name',
    group_tasting: 'id',
    glass: 'id,fields.group_tasting,fields.bottle',
    guest: 'id,fields.group_tasting,fields.person',
    person: 'id',
    sheet: 'id,fields.group_tasting,fields.glass,fields.guest',
  });
});

test('an upgrade moves records whose kind it now knows', async () => {
  db.close({ disableAutoOpen: false });
  await Dexie.delete(databaseName);
  const old = new Dexie(databaseName);
  old.version(1).stores({
    ...Object.fromEntries(['tasting', 'visit', 'settings'].map((name) => [name, 'id'])),
    tasting: 'id, fields.tasted_at, fields.bottle, fields.visit',
    bottle: 'id, fields.gtin',
    pick: 'id, fields.bottle',
    stock: 'id, fields.bottle',
    photo: 'id, fields.bottle, fields.tasting',
    unknown_kind: 'id, kind',
    outbox: 'id, kind, held',
    meta: 'name',
    photo_bytes: 'id, state',
    cache: 'name',
  });
  const kinds = ['group_tasting', 'glass', 'guest', 'person', 'sheet'];
  await old.table('unknown_kind').bulkPut([...kinds, 'hammer'].map((kind) => ({ id: `${kind}-1`, kind })));
  await old.table('bottle').put({ id: 'twin', fields: { merged_into: 'kept' } });
  old.close();
  await openTables();
  assert.deepEqual(await db.bottle.where('fields.merged_into').equals('kept').primaryKeys(), ['twin']);
  for (const kind of kinds) assert.deepEqual(await db.table(kind).toArray(), [{ id: `${kind}-1`, kind }]);
  assert.deepEqual(await db.unknown_kind.toArray(), [{ id: 'hammer-1', kind: 'hammer' }]);
});

test('a newer version in another tab closes the database', async () => {
  const newer = new Promise((resolve, reject) => {
    const request = indexedDB.open(databaseName, 1_000);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  /** @type {any} */ (await newer).close();
  assert.equal(storeState.value, 'outdated');
  await assert.rejects(db.meta.get('clock'), (error) => /** @type {Error} */ (error).name === 'DatabaseClosedError');
  await Dexie.delete(databaseName);
});

test('an older tab that does not close is told', () => {
  db.on('blocked').fire(/** @type {any} */ ({}));
  assert.equal(storeState.value, 'blocked');
});

test('an erased notebook is not created again', async () => {
  storeState.value = 'closed';
  await openTables();
  await Dexie.delete(databaseName);
  assert.equal(storeState.value, 'erased');
  await assert.rejects(
    withReconnect(() => db.meta.get('clock')),
    StoreError,
  );
  assert.equal(storeState.value, 'erased');
  assert.deepEqual(await Dexie.getDatabaseNames(), []);
});

// Notebooks of several people on one phone: signing in, what is listed, and erasing.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import Dexie from '../../static/vendor/dexie.js';
import { afterSignIn, me, signOut } from '../../static/account/api.js';
import { eraseEverywhere, eraseHere } from '../../static/account/erase.js';
import { listParkedDatabases } from '../../static/account/phone_databases.js';
import { databaseName, GUEST_DATABASE, nameForOwner, POINTER } from '../../static/store/database_name.js';
import { db, openTables } from '../../static/store/database.js';
import { bindOwner, localOwner } from '../../static/store/owner.js';
import { settingsId } from '../../static/store/record.js';
import { newId, save } from '../../static/store/write.js';
import { round } from '../../static/sync/round.js';
import { at, emptyBook, json, serve, unsentOf } from './support.mjs';

const ADA = { uid: 'a'.repeat(20), name: 'Ada' };
const BEN = { uid: 'b'.repeat(20), name: 'Ben' };
const OF_BEN = nameForOwner(BEN.uid);
const TABLES = { ...namesOf('tasting', 'settings', 'unknown_kind', 'outbox', 'photo_bytes'), meta: 'name' };

beforeEach(async () => {
  await openTables();
  await emptyBook();
  serve(() => Promise.reject(new TypeError('Failed to fetch')));
});
afterEach(async () => {
  mock.restoreAll();
  for (const name of await Dexie.getDatabaseNames()) if (name !== databaseName) await Dexie.delete(name);
  localStorage.removeItem(POINTER);
});

/** @param {string[]} tables */
function namesOf(...tables) {
  return Object.fromEntries(tables.map((name) => [name, 'id, kind, held']));
}

/** Create a database without these tables. @param {string} name @param {(book: any) => Promise<unknown>} fill */
async function park(name, fill) {
  const book = new Dexie(name);
  book.version(1).stores(TABLES);
  await fill(book);
  book.close();
}

/** @param {string} name @param {(book: any) => Promise<T>} read @returns {Promise<T>} @template T */
async function inside(name, read) {
  const book = await new Dexie(name).open();
  try {
    return await read(book);
  } finally {
    book.close();
  }
}

const sealed = (/** @type {any} */ book) =>
  book.outbox.put(unsentOf(newId(), { words: ['x', at(1)] }, { kind: 'tasting' }));

test('an owner who signs in finds the notebook left here', async () => {
  await park(OF_BEN, sealed);
  localStorage.setItem(`${databaseName}.book`, '{}');
  localStorage.setItem('secondnose.key', 'k');
  assert.equal(await afterSignIn(BEN), 'beside');
  assert.equal(localStorage.getItem(POINTER), OF_BEN);
  assert.equal(await inside(OF_BEN, (book) => book.table('outbox').count()), 1);
  // The empty notebook is gone, with what localStorage had of it.
  assert.deepEqual(await Dexie.getDatabaseNames(), [OF_BEN]);
  assert.equal(localStorage.getItem(`${databaseName}.book`), null);
  assert.equal(localStorage.getItem('secondnose.key'), 'k');
});

test('notes from before the sign-in move to the notebook', async () => {
  await park(OF_BEN, async (book) => {
    await book.meta.bulkPut([
      { name: 'clock', device: BEN.uid, last: at(1) },
      { name: 'faulty', pours: { old: { a: 1 } } },
    ]);
    await sealed(book);
  });
  const [tasting, person] = [newId(), newId()];
  await save('tasting', tasting, { words: 'before' });
  await save('person', person, { name: 'Cleo' });
  await db.meta.bulkPut([
    { name: 'faulty', pours: { new: { b: 2 } } },
    { name: 'flight', kept: 'draft' },
    { name: 'loss', loss: {} },
  ]);
  await db.photo_bytes.put({ id: 'p', state: 'unsent' });
  const last = (await db.meta.get('clock')).last;
  localStorage.setItem(`${databaseName}.unwritten.1`, '["edit"]');
  localStorage.setItem(`${databaseName}.state.market_asked`, '{"value":true}');
  localStorage.setItem(`${OF_BEN}.seen`, 'without them');
  assert.equal(await afterSignIn(BEN), 'beside');
  await inside(OF_BEN, async (book) => {
    assert.equal((await book.table('tasting').get(tasting)).fields.words, 'before');
    // An older release keeps kinds that it does not know.
    assert.equal((await book.table('unknown_kind').get(person)).fields.name, 'Cleo');
    assert.deepEqual(
      [await book.table('outbox').count(), (await book.table('outbox').get(tasting)).fields.words],
      [3, 'before'],
    );
    assert.equal((await book.table('photo_bytes').get('p')).state, 'unsent');
    assert.deepEqual(await book.table('meta').toArray(), [
      { name: 'clock', device: BEN.uid, last },
      { name: 'faulty', pours: { old: { a: 1 }, new: { b: 2 } } },
      { name: 'flight', kept: 'draft' },
    ]);
  });
  assert.equal(localStorage.getItem(`${OF_BEN}.unwritten.1`), '["edit"]');
  assert.equal(localStorage.getItem(`${databaseName}.unwritten.1`), null);
  assert.equal(localStorage.getItem(`${OF_BEN}.state.market_asked`), '{"value":true}');
  assert.equal(localStorage.getItem(`${databaseName}.state.market_asked`), null);
  assert.equal(localStorage.getItem(`${OF_BEN}.seen`), null);
  for (const key of ['unwritten.1', 'state.market_asked']) localStorage.removeItem(`${OF_BEN}.${key}`);
});

test('of two unsent values the earlier one stays a revision', async () => {
  const old = unsentOf(settingsId, { language: ['it', at(1)], light: ['day', at(1)] }, { kind: 'settings' });
  await park(OF_BEN, (book) => Promise.all([book.settings.put({ ...old, gone: 0 }), book.outbox.put(old)]));
  await save('settings', settingsId, { language: 'fr' });
  await afterSignIn(BEN);
  await inside(OF_BEN, async (book) => {
    const merged = { language: 'fr', light: 'day' };
    assert.deepEqual((await book.table('settings').get(settingsId)).fields, merged);
    const entry = await book.table('outbox').get(settingsId);
    assert.deepEqual(entry.fields, merged);
    assert.deepEqual(
      entry.earlier.map(({ fields }) => fields),
      [{ language: 'it' }],
    );
  });
});

test('a second notebook of the same owner is joined', async () => {
  await park(OF_BEN, sealed);
  await bindOwner(BEN);
  await save('tasting', newId(), { words: 'here' });
  assert.equal(await afterSignIn(BEN), 'beside');
  assert.equal(await inside(OF_BEN, (book) => book.table('outbox').count()), 2);
});

test('a notebook of nobody waits beside that of its owner', async () => {
  await park(OF_BEN, sealed);
  await save('tasting', newId(), { words: 'here' });
  const asked = serve(() => json({ owner: BEN, device: null }));
  assert.equal((await round(() => {})).end, 'apart');
  assert.deepEqual(
    asked.map(({ url }) => url),
    ['/api/me'],
  );
  assert.equal(await localOwner(), null);
  assert.equal(await afterSignIn(BEN), 'beside');
  assert.equal(await inside(OF_BEN, (book) => book.table('outbox').count()), 2);
});

test('a tab of one owner does not sign out another one', async () => {
  await bindOwner(ADA);
  const asked = serve(() => json({ code: 'other_owner', errors: { owner: BEN } }, 409));
  await assert.rejects(signOut(), { code: 'other_owner' });
  assert.equal(asked[0]?.init.headers['Second-Nose-Owner'], ADA.uid);
});

test('what an interrupted move leaves has an owner', async () => {
  await park(OF_BEN, sealed);
  await save('tasting', newId(), { words: 'here' });
  mock.method(Dexie, 'delete', () => Promise.reject(new Error('the page was closed')));
  await assert.rejects(afterSignIn(BEN));
  assert.deepEqual(await localOwner(), BEN);
  assert.equal(localStorage.getItem(POINTER), OF_BEN);
  assert.equal(await inside(OF_BEN, (book) => book.table('outbox').count()), 2);
});

test('what another tab writes during the move comes along', async () => {
  await park(OF_BEN, sealed);
  await save('tasting', newId(), { words: 'here' });
  await db.photo_bytes.put({ id: 'p', state: 'unsent' });
  const late = newId();
  const { put } = IDBObjectStore.prototype;
  mock.method(IDBObjectStore.prototype, 'put', function write(/** @type {any} */ ...row) {
    if (this.name === 'photo_bytes' && row[0].id === 'p') {
      db.outbox.put(unsentOf(late, { words: ['late', at(2)] }, { kind: 'tasting' }));
      db.tasting.put(
        /** @type {any} */ ({ ...unsentOf(late, { words: ['late', at(2)] }, { kind: 'tasting' }), gone: 0 }),
      );
      db.photo_bytes.put(/** @type {any} */ ({ id: 'late', state: 'unsent' }));
    }
    return put.apply(this, row);
  });
  await afterSignIn(BEN);
  await inside(OF_BEN, async (book) => {
    assert.equal((await book.table('tasting').get(late))?.fields.words, 'late');
    assert.equal((await book.table('outbox').get(late))?.fields.words, 'late');
    assert.equal((await book.table('photo_bytes').get('late'))?.state, 'unsent');
  });
});

test('a sign-in on a full phone leaves all notes in place', async () => {
  await park(OF_BEN, sealed);
  const tasting = newId();
  await save('tasting', tasting, { words: 'here' });
  const { put } = IDBObjectStore.prototype;
  mock.method(IDBObjectStore.prototype, 'put', function fill(/** @type {any} */ ...row) {
    if (this.transaction.db.name === OF_BEN) throw new DOMException('no room', 'QuotaExceededError');
    return put.apply(this, row);
  });
  await assert.rejects(afterSignIn(BEN), { name: 'AccountError', code: 'full' });
  assert.equal(localStorage.getItem(POINTER), null);
  assert.equal((await db.tasting.get(tasting))?.fields['words'], 'here');
  assert.equal(await inside(OF_BEN, (book) => book.table('outbox').count()), 1);
  mock.restoreAll();
  assert.equal(await afterSignIn(BEN), 'beside');
  assert.equal(await inside(OF_BEN, (book) => book.table('outbox').count()), 2);
});

test('an error of the program is no trouble of the phone', async () => {
  await park(OF_BEN, sealed);
  mock.method(IDBDatabase.prototype, 'transaction', () => {
    throw new RangeError('wrong');
  });
  await assert.rejects(afterSignIn(BEN), (error) => /** @type {Error} */ (error).name !== 'AccountError');
});

test('the notebook of somebody else stays as it is', async () => {
  await bindOwner(ADA);
  await save('tasting', newId(), { words: 'of Ada' });
  assert.equal(await afterSignIn(BEN), 'beside');
  assert.equal(localStorage.getItem(POINTER), OF_BEN);
  assert.equal(await db.outbox.count(), 1);
});

test('a notebook that was never bound is listed', async () => {
  await park(OF_BEN, sealed);
  await park('secondnose-1', sealed);
  assert.deepEqual(await listParkedDatabases(), [{ owner: { ...BEN, name: '' }, unsent: { notes: 1, changes: 0 } }]);
});

test('a name that the server tells is stored', async () => {
  serve(() => json({ owner: BEN, device: null }));
  await me();
  assert.equal(await db.meta.get('owner'), undefined, 'nobody has signed in here');
  await bindOwner({ ...BEN, name: '' });
  await me();
  assert.equal((await db.meta.get('owner')).owner_name, 'Ben');
});

test('an erased first notebook is opened anew', async () => {
  await park(OF_BEN, sealed);
  await bindOwner(ADA);
  await eraseHere();
  assert.equal(localStorage.getItem(POINTER), databaseName);
  assert.deepEqual(await Dexie.getDatabaseNames(), [OF_BEN]);
});

test('after an erasure the notebook of the signed-in opens', async () => {
  await park(OF_BEN, sealed);
  await bindOwner(ADA);
  serve(() => json({ owner: BEN, device: null }));
  await eraseHere();
  assert.equal(localStorage.getItem(POINTER), OF_BEN);
  assert.deepEqual(await Dexie.getDatabaseNames(), [OF_BEN]);
});

for (const [name, erase, kept] of /** @type {const} */ ([
  ['of one notebook leaves', eraseHere, true],
  ['everywhere takes', () => eraseEverywhere('words'), false],
]))
  test(`an erasure ${name} the notes of guests`, async () => {
    await park(GUEST_DATABASE, (book) => book.open());
    const key = `${GUEST_DATABASE}.unwritten.1`;
    localStorage.setItem(key, '[]');
    await bindOwner(ADA);
    serve((url) => (url === '/api/me' ? json({ owner: ADA, device: null }) : json({})));
    await erase();
    assert.equal((await Dexie.getDatabaseNames()).includes(GUEST_DATABASE), kept);
    assert.equal(localStorage.getItem(key), kept ? '[]' : null);
    localStorage.removeItem(key);
  });

test('an erasure everywhere leaves no second notebook', async () => {
  await park(OF_BEN, sealed);
  await park(nameForOwner(ADA.uid), sealed);
  await bindOwner(BEN);
  serve((url) => (url === '/api/me' ? json({ owner: BEN, device: null }) : json({})));
  await eraseEverywhere('words');
  assert.deepEqual(await Dexie.getDatabaseNames(), [nameForOwner(ADA.uid)]);
  assert.equal(localStorage.getItem(POINTER), databaseName);
});

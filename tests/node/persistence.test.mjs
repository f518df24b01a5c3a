import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { watchErasure } from '../../static/account/watch_erasure.js';
import * as persistence from '../../static/store/persistence.js';
import { databaseName } from '../../static/store/database_name.js';
import { db } from '../../static/store/database.js';
import { control } from './environment.mjs';
import { NOW, emptyBook, until } from './support.mjs';

const SENTINEL = `${databaseName}.book`;
const HERE = 'b'.repeat(20);
const LOST = 'c'.repeat(20);
const { storageState } = persistence;

beforeEach(async () => {
  await emptyBook();
  localStorage.removeItem(SENTINEL);
  storageState.value = { persisted: null, loss: null };
  mock.timers.enable({ apis: ['Date'], now: NOW });
});
afterEach(() => {
  mock.restoreAll();
  mock.timers.reset();
  delete (/** @type {any} */ (navigator).storage);
  Object.assign(control, { full: false, blocked: false });
});

/** @param {any} storage of the browser */
function browserWith(storage) {
  Object.defineProperty(navigator, 'storage', { value: storage, configurable: true });
}

const sentinel = () => JSON.parse(localStorage.getItem(SENTINEL) ?? 'null');
/** @param {string} book @param {number} [unsent] */
const putSentinel = (book, unsent = 3) =>
  localStorage.setItem(SENTINEL, JSON.stringify({ book, unsent, at: '2026-01-01T00:00:00+00:00' }));

test('the browser is asked to keep the data', async () => {
  for (const [storage, expected] of /** @type {[any, boolean][]} */ ([
    [{ persist: async () => true }, true],
    [{ persist: async () => false }, false],
    [{ persist: () => Promise.reject(new TypeError('refused')) }, false],
    [{}, false],
    [undefined, false],
  ])) {
    browserWith(storage);
    assert.equal(await persistence.requestPersistence(), expected);
    assert.deepEqual(storageState.value, { persisted: expected, loss: null });
  }
});

test('the first save asks once', async () => {
  const persist = mock.fn(async () => true);
  browserWith({ persist });
  persistence.afterSave();
  persistence.afterSave();
  await until(() => storageState.value.persisted === true);
  assert.equal(persist.mock.callCount(), 1);
});

test('the sentinel tells what only this phone has', async () => {
  await persistence.refreshSentinel(HERE, { notes: 4, changes: 1 });
  assert.equal(sentinel().book, HERE);
  assert.deepEqual([sentinel().unsent, sentinel().changes], [4, 1]);
  assert.equal(Date.parse(sentinel().at), NOW);
  await persistence.refreshSentinel(HERE, { notes: 0, changes: 1 });
  assert.equal(sentinel().unsent, 0);
  assert.equal(storageState.value.loss, null);
});

test('a page that was opened has asked and lost nothing', async () => {
  const page = await import('../../static/store/persistence.js?opened');
  assert.deepEqual(page.storageState.value, { persisted: null, loss: null });
});

test('a known database is not looked into at each status', async () => {
  const persisted = mock.fn(async () => true);
  browserWith({ persisted });
  const begun = mock.method(db, 'transaction').mock;
  await persistence.refreshSentinel(HERE, { notes: 4, changes: 1 });
  await persistence.refreshSentinel(HERE, { notes: 5, changes: 1 });
  assert.deepEqual([persisted.mock.callCount(), begun.callCount()], [0, 0]);
});

test('a database replaced while the page was open is a loss', async () => {
  putSentinel(LOST, 2);
  await persistence.refreshSentinel(HERE, { notes: 0, changes: 1 });
  assert.equal(storageState.value.loss?.unsent, 2);
  assert.equal(sentinel().book, HERE);
});

test('a normal start loses nothing and writes nothing', async () => {
  putSentinel(HERE);
  const before = sentinel();
  const begun = mock.method(db, 'transaction').mock;
  await persistence.detectLoss();
  assert.deepEqual(
    begun.calls.map(({ arguments: [mode] }) => mode),
    ['r'],
  );
  assert.equal(storageState.value.loss, null);
  assert.deepEqual(sentinel(), before);
  assert.equal(await db.meta.get('loss'), undefined);
});

test('a first start writes the sentinel', async () => {
  await persistence.detectLoss();
  assert.equal(storageState.value.loss, null);
  assert.deepEqual([sentinel().book, sentinel().unsent, Date.parse(sentinel().at)], [HERE, 0, NOW]);
});

test('a first start without a clock is no loss', async () => {
  await db.meta.delete('clock');
  await persistence.detectLoss();
  assert.equal(storageState.value.loss, null);
  assert.equal(await db.meta.get('loss'), undefined);
  assert.equal(sentinel().book, (await db.meta.get('clock')).book);
});

test('the promise of the browser stays while a loss is read', async () => {
  browserWith({ persisted: () => new Promise(() => {}) });
  storageState.value = { persisted: true, loss: null };
  await persistence.detectLoss();
  assert.deepEqual(storageState.value, { persisted: true, loss: null });
  await persistence.acknowledgeLoss();
  assert.deepEqual(storageState.value, { persisted: true, loss: null });
});

test('a lost database is noticed and stays known until it is read', async () => {
  putSentinel(LOST, 3);
  await db.meta.delete('clock');
  await persistence.detectLoss();
  const { loss } = storageState.value;
  assert.deepEqual([loss?.book, loss?.unsent, Date.parse(String(loss?.found_at))], [LOST, 3, NOW]);
  assert.deepEqual(await db.meta.get('loss'), { name: 'loss', loss });
  const made = (await db.meta.get('clock')).book;
  assert.deepEqual([sentinel().book, sentinel().unsent], [made, 0]);
  storageState.value = { persisted: null, loss: null };
  await persistence.detectLoss();
  assert.deepEqual(storageState.value.loss, loss);
  await persistence.acknowledgeLoss();
  assert.equal(storageState.value.loss, null);
  assert.equal(await db.meta.get('loss'), undefined);
  await persistence.detectLoss();
  assert.equal(storageState.value.loss, null);
});

test('a second loss does not replace one that nobody has read', async () => {
  const loss = { book: 'd'.repeat(20), unsent: 9, at: '', found_at: '' };
  await db.meta.put({ name: 'loss', loss });
  putSentinel(LOST);
  await persistence.detectLoss();
  assert.deepEqual(storageState.value.loss, loss);
  await db.meta.delete('clock');
  putSentinel(LOST);
  await persistence.detectLoss();
  assert.deepEqual(storageState.value.loss, loss);
  assert.deepEqual((await db.meta.get('loss')).loss, loss);
});

test('a tab reloads when another one erases its notebook', () => {
  const reload = mock.fn();
  Object.defineProperty(globalThis, 'location', { value: { reload }, configurable: true });
  watchErasure();
  const changed = (/** @type {any} */ change) => dispatchEvent(Object.assign(new Event('storage'), change));
  changed({ key: SENTINEL, newValue: '{}' });
  changed({ key: `${databaseName}.seen`, newValue: null });
  assert.equal(reload.mock.callCount(), 0);
  changed({ key: SENTINEL, newValue: null });
  assert.equal(reload.mock.callCount(), 1);
  delete (/** @type {any} */ (globalThis).location);
});

test('without localStorage nothing is lost', async () => {
  control.blocked = true;
  await persistence.detectLoss();
  await persistence.refreshSentinel(HERE, { notes: 1, changes: 1 });
  assert.equal(storageState.value.loss, null);
  control.blocked = false;
  localStorage.setItem(SENTINEL, '{');
  await persistence.detectLoss();
  assert.equal(storageState.value.loss, null);
  assert.equal(sentinel().book, HERE);
});

test('the promise of the browser is read at the start', async () => {
  for (const [storage, expected] of /** @type {[any, boolean | null][]} */ ([
    [{ persisted: async () => true }, true],
    [{ persisted: async () => false }, false],
    [{ persisted: () => Promise.reject(new TypeError('refused')) }, null],
    [{}, null],
    [undefined, null],
  ])) {
    browserWith(storage);
    storageState.value = { persisted: expected === null, loss: null };
    await persistence.detectLoss();
    await until(() => storageState.value.persisted === expected);
  }
});

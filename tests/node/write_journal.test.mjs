// The write-ahead journal: edits that a page did not commit, and the start that replays them.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { journalKey } from '../../static/store/database_name.js';
import { replayJournal } from '../../static/store/replay_journal.js';
import { db, storeState } from '../../static/store/database.js';
import { journalKeys, markCommitted, onCommit, registerPending } from '../../static/store/write_journal.js';
import { newId, save } from '../../static/store/write.js';
import { control } from './environment.mjs';
import { emptyBook, until } from './support.mjs';

/** Uncommitted edits of this page. @type {any[]} */
let waiting = [];
registerPending(() => waiting);
let heard = 0;
onCommit(() => {
  heard += 1;
});

const first = mock.method(localStorage, 'removeItem');
markCommitted();
const removedAtFirst = first.mock.callCount();
mock.restoreAll();

beforeEach(async () => {
  Object.assign(control, { full: false, blocked: false });
  waiting = [];
  markCommitted();
  for (const key of Object.keys(localStorage)) localStorage.removeItem(key);
  await emptyBook();
  heard = 0;
});
afterEach(() => mock.restoreAll());

const leave = () => dispatchEvent(new Event('pagehide'));
const laid = () =>
  Object.keys(localStorage)
    .filter((key) => key.startsWith(journalKey))
    .map((key) => JSON.parse(localStorage[key]));

/** @param {string} name @param {string} [id] */
const edit = (name, id = newId()) => ({ kind: 'bottle', id, fields: { name } });

test('a page that laid nothing takes nothing away', () => {
  assert.equal(removedAtFirst, 0);
});

test('a page lays down what is unwritten when it goes', () => {
  waiting = [edit('a')];
  leave();
  assert.deepEqual(laid(), [waiting]);
  assert.deepEqual(journalKeys(), []);
});

test('a page lays nothing down of an erased notebook', () => {
  const was = storeState.value;
  waiting = [edit('a')];
  storeState.value = 'erased';
  leave();
  storeState.value = was;
  assert.deepEqual(laid(), []);
});

test('a page that is put away lays it down too', () => {
  waiting = [edit('a')];
  document.dispatchEvent(new Event('visibilitychange'));
  assert.deepEqual(laid(), [waiting]);
});

test('a page that has written all lays down nothing', () => {
  const removals = mock.method(localStorage, 'removeItem');
  leave();
  markCommitted();
  assert.deepEqual([laid(), removals.mock.callCount()], [[], 0]);
});

test('what was written is taken away again', () => {
  waiting = [edit('a'), edit('b')];
  leave();
  waiting = waiting.slice(1);
  markCommitted();
  assert.deepEqual(laid(), [waiting]);
  waiting = [];
  markCommitted();
  assert.deepEqual([Object.keys(localStorage), heard], [[], 2]);
  waiting = [edit('c')];
  markCommitted();
  assert.deepEqual(laid(), []);
});

test('a browser without room for words breaks nothing', () => {
  waiting = [edit('a')];
  control.full = true;
  leave();
  control.full = false;
  markCommitted();
  assert.deepEqual(laid(), []);
});

test('keys of other pages are found and no others', () => {
  localStorage.setItem(`${journalKey}x`, '[]');
  localStorage.setItem('secondnose.light', 'dark');
  localStorage.setItem(`${journalKey}a`, '[]');
  assert.deepEqual(journalKeys(), [`${journalKey}a`, `${journalKey}x`]);
  control.blocked = true;
  assert.deepEqual(journalKeys(), []);
});

test('a write under way is laid down and taken away', async () => {
  const id = newId();
  const done = save('bottle', id, { name: 'a' });
  leave();
  assert.deepEqual(laid(), [[{ kind: 'bottle', id, fields: { name: 'a' } }]]);
  await done;
  assert.deepEqual([laid(), heard], [[], 1]);
});

test('a write that failed is not laid down', async () => {
  mock.method(db.outbox, 'bulkPut', () => Promise.reject(new TypeError('broken')));
  await assert.rejects(save('bottle', newId(), { name: 'a' }));
  leave();
  assert.deepEqual([laid(), heard], [[], 0]);
});

test('a start writes what was laid down', async () => {
  const [one, other] = [edit('a'), edit('b')];
  localStorage.setItem('k1', JSON.stringify([one]));
  localStorage.setItem('k2', JSON.stringify([other]));
  const told = mock.method(console, 'error', () => {});
  await replayJournal(['k1', 'k2', 'k3']);
  assert.equal(told.mock.callCount(), 0);
  assert.equal((await db.bottle.get(one.id)).fields.name, 'a');
  assert.equal((await db.bottle.get(other.id)).fields.name, 'b');
  assert.deepEqual(Object.keys(localStorage), []);
});

test('words that cannot be read are told and dropped', async () => {
  const told = mock.method(console, 'error', () => {});
  const sound = edit('a');
  localStorage.setItem('k1', 'no json');
  localStorage.setItem('k2', JSON.stringify([{ ...edit('a'), kind: 'unheard' }]));
  localStorage.setItem('k3', JSON.stringify([sound]));
  await replayJournal(['k1', 'k2', 'k3']);
  assert.equal(told.mock.callCount(), 2);
  assert.deepEqual(Object.keys(localStorage), []);
  assert.ok(await db.bottle.get(sound.id));
});

test('words with no room wait for the next write', async () => {
  const full = mock.method(db.outbox, 'bulkPut', () =>
    Promise.reject(Object.assign(new Error('full'), { name: 'QuotaExceededError' })),
  );
  const one = edit('a');
  const since = `1790000000000-0000-${'c'.repeat(20)}`;
  await db.meta.update('clock', { last: since });
  localStorage.setItem('k1', JSON.stringify([one]));
  await replayJournal(['k1']);
  assert.deepEqual(JSON.parse(localStorage.k1), [{ since, ...one }]);
  full.mock.restore();
  await save('bottle', newId(), { name: 'b' });
  await until(() => !localStorage.getItem('k1'));
  assert.deepEqual([(await db.bottle.get(one.id))?.fields.name, localStorage.getItem('k1')], ['a', null]);
});

test('words of a book without a clock are written', async () => {
  await db.meta.clear();
  const one = edit('a');
  localStorage.setItem('k1', JSON.stringify([one]));
  await replayJournal(['k1']);
  assert.equal((await db.bottle.get(one.id))?.fields.name, 'a');
});

test('words of a fresh book are older than all of it', async () => {
  mock.method(db.outbox, 'bulkPut', () =>
    Promise.reject(Object.assign(new Error('full'), { name: 'QuotaExceededError' })),
  );
  const one = edit('a');
  localStorage.setItem('k1', JSON.stringify([one]));
  await replayJournal(['k1']);
  assert.deepEqual(JSON.parse(localStorage.k1), [{ since: '', ...one }]);
});

test('words laid twice count from the first time', async () => {
  const one = { ...edit('a'), since: '' };
  await save('bottle', one.id, { name: 'later' });
  localStorage.setItem('k1', JSON.stringify([one]));
  await replayJournal(['k1']);
  assert.equal((await db.bottle.get(one.id)).fields.name, 'later');
  const next = edit('mine', one.id);
  localStorage.setItem('k2', JSON.stringify([next]));
  await replayJournal(['k2']);
  assert.equal((await db.bottle.get(one.id)).fields.name, 'mine');
});

test('words stay where even their clock has no room', async () => {
  mock.method(db.outbox, 'bulkPut', () =>
    Promise.reject(Object.assign(new Error('full'), { name: 'QuotaExceededError' })),
  );
  const one = edit('a');
  localStorage.setItem('k1', JSON.stringify([one]));
  control.full = true;
  await replayJournal(['k1']);
  assert.deepEqual(JSON.parse(localStorage.k1), [one]);
});

// What the sync loop and the small stores do when something under them fails.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { Schedule } from '../../static/sync/schedule.js';
import { freeSpace } from '../../static/store/evict.js';
import { fetchRevisions } from '../../static/store/revisions.js';
import { localState } from '../../static/store/local_state.js';
import { journaled, journaledFields } from '../../static/store/write_journal.js';
import { db } from '../../static/store/database.js';
import { NOW, emptyBook, json, serve, setTiming, someId, turns, until } from './support.mjs';

beforeEach(() => emptyBook());
afterEach(() => {
  mock.restoreAll();
  mock.timers.reset();
  setTiming({});
});

const wrong = () => Promise.reject(new RangeError('wrong'));

test('a round that throws is reported and tried again', async () => {
  mock.timers.enable({ apis: ['Date', 'setTimeout'], now: NOW });
  mock.method(Math, 'random', () => 1);
  setTiming({ backoff_first_ms: 1_000, backoff_max_ms: 5_000 });
  const reported = mock.method(console, 'error', () => {}).mock;
  const work = mock.fn(wrong);
  const schedule = new Schedule(/** @type {any} */ (work), async () => true);
  assert.deepEqual(await schedule.now(), { end: 'waiting', wait_ms: 0, moved: new Set() });
  assert.match(String(reported.calls[0]?.arguments[0]), /wrong/);
  mock.timers.tick(999);
  await turns();
  assert.equal(work.mock.callCount(), 1);
  mock.timers.tick(1);
  await turns();
  assert.equal(work.mock.callCount(), 2);
});

test('a round follows a save if nobody can tell what is due', async () => {
  mock.timers.enable({ apis: ['Date', 'setTimeout'], now: NOW });
  setTiming({ after_save_ms: 100 });
  const work = mock.fn(async () => ({ end: 'done', wait_ms: 0, moved: new Set() }));
  const schedule = new Schedule(/** @type {any} */ (work), wrong);
  schedule.afterChange();
  mock.timers.tick(100);
  await turns();
  assert.equal(work.mock.callCount(), 1);
});

test('journaled fields of a record are laid one over another', () => {
  const [id, other] = [someId(), someId()];
  journaled.value = [
    { kind: 'bottle', id, fields: { name: 'a', region: 'r' } },
    { kind: 'bottle', id: other, fields: { name: 'x' } },
    { kind: 'tasting', id, fields: { place: 'p' } },
    { kind: 'bottle', id, fields: { name: 'b' } },
  ];
  assert.deepEqual(journaledFields('bottle', id), { name: 'b', region: 'r' });
  assert.deepEqual(journaledFields('tasting', id), { place: 'p' });
  assert.deepEqual(journaledFields('tasting', other), {});
  journaled.value = [];
});

test('revisions are shown even if there is no room to cache them', async () => {
  mock.method(db.cache, 'put', wrong);
  serve(() => json({ revisions: [] }));
  assert.deepEqual(await fetchRevisions('bottle', someId()), { revisions: [], fresh: true });
});

test('space that cannot be freed is no error', async () => {
  await db.cache.put({ name: 'a' });
  const clear = mock.method(IDBObjectStore.prototype, 'clear', () => {
    throw new DOMException('wrong', 'ReadOnlyError');
  });
  assert.equal(await freeSpace(), false);
  assert.equal(clear.mock.callCount(), 1);
});

test('a local value that cannot be read is reported', async () => {
  const reported = mock.method(console, 'error', () => {}).mock;
  mock.method(db.meta, 'get', wrong);
  localState('unread', (stored) => typeof stored === 'number');
  await until(() => reported.callCount() === 1);
  assert.match(String(reported.calls[0]?.arguments[0]), /wrong/);
});

// A record that is too large for the server, and one that makes it fail.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { toChange } from '../../static/store/outbox.js';
import { quarantine, retryLater, retryRejected } from '../../static/sync/quarantine.js';
import { db } from '../../static/store/database.js';
import { NOW, at, emptyBook, recordOf, saidOf, setTiming, someId, unsentOf } from './support.mjs';

const errors = { record: [{ code: 'too_big_to_send' }] };

beforeEach(async () => {
  setTiming({ backoff_first_ms: 1_000, backoff_max_ms: 5_000 });
  mock.timers.enable({ apis: ['Date'], now: NOW });
  mock.method(Math, 'random', () => 1);
  await emptyBook();
});
afterEach(() => {
  mock.timers.reset();
  mock.restoreAll();
});

test('a record that is too big is held with its reason', async () => {
  const row = unsentOf(someId(), { name: ['a', at(1)] });
  await db.outbox.put(row);
  await quarantine(toChange(row), errors);
  assert.deepEqual(await db.outbox.get(row.id), { ...row, held: 1, errors });
});

test('a record that was edited meanwhile is not held', async () => {
  const row = unsentOf(someId(), { name: ['b', at(2)] });
  await db.outbox.put(row);
  await quarantine(recordOf(row.id, { name: ['a', at(1)] }), errors);
  assert.deepEqual(await db.outbox.get(row.id), row);
});

test('an earlier value that is too big is let go', async () => {
  const [first, second] = [saidOf({ name: ['a', at(1)] }), saidOf({ name: ['b', at(2)] })];
  const row = unsentOf(someId(), { name: ['c', at(3)] }, { earlier: [first, second] });
  await db.outbox.put(row);
  await quarantine(recordOf(row.id, { name: ['a', at(1)] }), errors);
  assert.deepEqual(await db.outbox.get(row.id), { ...row, earlier: [second] });
  const alone = unsentOf(someId(), {}, { earlier: [first] });
  await db.outbox.put(alone);
  await quarantine(recordOf(alone.id, { name: ['a', at(1)] }), errors);
  assert.equal(await db.outbox.get(alone.id), undefined);
});

test('a record that is no longer there is not held', async () => {
  const id = someId();
  await quarantine(recordOf(id, { name: ['a', at(1)] }), errors);
  await retryLater(recordOf(id, { name: ['a', at(1)] }));
  assert.equal(await db.outbox.count(), 0);
});

test('a record that breaks the server waits ever longer', async () => {
  const row = unsentOf(someId(), { name: ['a', at(1)] });
  await db.outbox.put(row);
  for (const [tries, wait_ms] of [
    [1, 1_000],
    [2, 2_000],
    [3, 4_000],
    [4, 5_000],
    [5, 5_000],
  ]) {
    await retryLater(toChange(row));
    assert.deepEqual(await db.outbox.get(row.id), { ...row, held: 2, tries, not_before_ms: NOW + wait_ms });
  }
});

test('phones that meet an error return at different times', async () => {
  const row = unsentOf(someId(), { name: ['a', at(1)] });
  await db.outbox.put(row);
  Math.random.mock.mockImplementation(() => 0);
  await retryLater(toChange(row));
  assert.equal((await db.outbox.get(row.id)).not_before_ms, NOW + 500);
});

test('rejected records go up again but those too big to send', async () => {
  const long = { record: [{ code: 'too_big', bound: 500_000 }] };
  const full = { record: [{ code: 'too_many_records', bound: 9 }] };
  const rows = [
    unsentOf(someId(), { name: ['a', at(1)] }, { held: 1, errors: full }),
    unsentOf(someId(), { name: ['b', at(2)] }, { held: 1, errors: { name: [{ code: 'too_long', bound: 3 }] } }),
    unsentOf(someId(), { name: ['c', at(3)] }, { held: 1, errors }),
    unsentOf(someId(), { name: ['d', at(4)] }, { held: 2, not_before_ms: NOW + 9 }),
    unsentOf(someId(), { name: ['e', at(5)] }, { held: 1, errors: null }),
    unsentOf(someId(), { name: ['f', at(6)] }, { held: 1, errors: { record: [...full.record, ...errors.record] } }),
    unsentOf(someId(), { name: ['g', at(7)] }, { held: 1, errors: long }),
  ];
  await db.outbox.bulkPut(rows);
  await retryRejected();
  assert.deepEqual(
    await db.outbox.toArray(),
    rows.map((row, place) => ({ ...row, held: [0, 0, 1, 2, 0, 1, 0][place] })),
  );
});

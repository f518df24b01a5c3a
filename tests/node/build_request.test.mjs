import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { buildRequest, hasDue, msUntilRetry, countPending } from '../../static/sync/build_request.js';
import { readServerState } from '../../static/sync/server_state.js';
import { db, transaction } from '../../static/store/database.js';
import { DEVICE, NOW, at, emptyBook, freshServer, recordOf, saidOf, setTiming, someId, unsentOf } from './support.mjs';

beforeEach(async () => {
  setTiming({});
  mock.timers.enable({ apis: ['Date'], now: NOW });
  await emptyBook({ last: at(7) });
});
afterEach(() => mock.timers.reset());

/**
 * Create rows with one field each.
 * @param {number} count
 * @param {any} [more]
 * @param {string} [text]
 */
async function rows(count, more, text = 'a') {
  const made = Array.from({ length: count }, () => unsentOf(someId(), { name: [text, at(1)] }, more));
  await db.outbox.bulkPut(made);
  return made;
}

const ids = (request) => request.sent.map(({ id }) => id);

test('a request carries what the outbox holds', async () => {
  const [row] = await rows(1, { tries: 1 });
  const request = await buildRequest(10, 1_000);
  const change = recordOf(row.id, { name: ['a', at(1)] });
  assert.deepEqual(
    { ...request, body: JSON.parse(request.body) },
    {
      device: DEVICE,
      last: at(7),
      epoch: null,
      token: null,
      cursor: 0,
      sent: [change],
      complete: true,
      waiting: 1,
      body: {
        format: 1,
        device: DEVICE,
        epoch: null,
        token: null,
        cursor: 0,
        limit: 400,
        changes: [change],
      },
    },
  );
});

test('a request says how far the server was read', async () => {
  await emptyBook({}, { epoch: 'e', token: 't', cursor: 9 });
  const request = await buildRequest(10, 1_000);
  const { epoch, token, cursor, limit, changes } = JSON.parse(request.body);
  assert.deepEqual(
    { epoch, token, cursor, limit, changes },
    { epoch: 'e', token: 't', cursor: 9, limit: 1_000, changes: [] },
  );
  assert.deepEqual([request.epoch, request.cursor, request.waiting], ['e', 9, 0]);
});

test('a first page is no longer than any other', async () => {
  assert.equal(JSON.parse((await buildRequest(10, 100)).body).limit, 100);
});

test('a request carries as many records as it may', async () => {
  const made = await rows(5);
  const request = await buildRequest(3, 1_000);
  assert.deepEqual(
    ids(request),
    made.slice(0, 3).map(({ id }) => id),
  );
  assert.deepEqual([request.waiting, request.complete], [5, true]);
});

test('a request reads no more entries than it may send', async () => {
  await rows(5);
  const reads = mock.method(IDBIndex.prototype, 'getAll');
  await buildRequest(2, 1_000);
  assert.deepEqual(
    reads.mock.calls.map(({ result }) => /** @type {any} */ (result).result.length),
    [0, 2],
  );
  reads.mock.restore();
});

test('a request is no longer than its bytes', async () => {
  const made = await rows(3, {}, 'x'.repeat(300));
  const size = JSON.stringify(recordOf(made[0].id, { name: ['x'.repeat(300), at(1)] })).length;
  for (const [most_bytes, count] of [
    [2 * size, 2],
    [2 * size - 1, 1],
    [1, 1],
    [3 * size, 3],
  ]) {
    setTiming({ max_bytes: most_bytes });
    const request = await buildRequest(10, 1_000);
    assert.deepEqual(
      ids(request),
      made.slice(0, count).map(({ id }) => id),
    );
    assert.equal(JSON.parse(request.body).changes.length, count);
  }
});

test('a record with earlier values may not fit whole', async () => {
  const earlier = [saidOf({ name: ['a', at(1)] }), saidOf({ name: ['b', at(2)] })];
  const row = unsentOf(someId(), { name: ['c', at(3)] }, { earlier });
  await db.outbox.put(row);
  const part = await buildRequest(2, 1_000);
  assert.deepEqual([part.sent.map(({ fields }) => fields.name), part.complete], [['a', 'b'], false]);
  const all = await buildRequest(3, 1_000);
  assert.deepEqual([all.sent.map(({ fields }) => fields.name), all.complete], [['a', 'b', 'c'], true]);
});

test('a refused record stays and is not counted', async () => {
  await rows(2, { held: 1 });
  const request = await buildRequest(10, 1_000);
  assert.deepEqual([request.sent, request.waiting], [[], 0]);
  await rows(3);
  assert.equal(await transaction('r', ['outbox'], countPending), 3);
});

test('a record that broke the server waits for its time', async () => {
  const [early] = await rows(1, { held: 2, not_before_ms: NOW });
  const [late] = await rows(1, { held: 2, not_before_ms: NOW + 1 });
  const made = await rows(3);
  const request = await buildRequest(3, 1_000);
  assert.deepEqual(ids(request), [early.id, made[0].id, made[1].id]);
  assert.equal(request.waiting, 5);
  mock.timers.setTime(NOW + 1);
  assert.deepEqual(ids(await buildRequest(1, 1_000)), [early.id]);
  assert.deepEqual(ids(await buildRequest(2, 1_000)), [early.id, late.id]);
});

test('a book that is read again sends nothing meanwhile', async () => {
  await emptyBook({}, { rewinding: true, cursor: 4 });
  await rows(2);
  const request = await buildRequest(10, 1_000);
  assert.deepEqual([request.sent, request.waiting, request.cursor], [[], 0, 4]);
  assert.equal(await hasDue(), false);
});

test('something is due while a record may go up', async () => {
  assert.equal(await hasDue(), false);
  await rows(1, { held: 1 });
  await rows(1, { held: 2, not_before_ms: NOW + 5 });
  assert.equal(await hasDue(), false);
  mock.timers.setTime(NOW + 5);
  assert.equal(await hasDue(), true);
  await emptyBook();
  await rows(1);
  assert.equal(await hasDue(), true);
});

test('a postponed record says when it is due', async () => {
  await rows(1);
  assert.equal(await msUntilRetry(), null);
  await rows(1, { held: 2, not_before_ms: NOW + 50 });
  await rows(1, { held: 2, not_before_ms: NOW + 20 });
  assert.equal(await msUntilRetry(), 20);
  mock.timers.setTime(NOW + 30);
  assert.equal(await msUntilRetry(), 0);
});

test('a phone that met no server knows nothing of one', async () => {
  assert.deepEqual(await transaction('r', ['meta'], readServerState), freshServer());
  const { seen, ...old } = { ...freshServer(), cursor: 5 };
  await db.meta.put(old);
  assert.deepEqual(await transaction('r', ['meta'], readServerState), { ...old, seen });
  await db.meta.put({ ...old, seen: at(1) });
  assert.equal((await transaction('r', ['meta'], readServerState)).seen, at(1));
});

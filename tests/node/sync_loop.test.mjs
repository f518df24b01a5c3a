// The loop of static/sync/index.js: one per page, so these tests run in order.
import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { acknowledgeRewind, startSync, syncEvery, syncNow, syncStatus } from '../../static/sync/index.js';
import { databaseName } from '../../static/store/database_name.js';
import { bindOwner } from '../../static/store/owner.js';
import { db } from '../../static/store/database.js';
import { StoreError } from '../../static/store/errors.js';
import { activity } from '../../static/sync/status.js';
import {
  answerOf,
  at,
  emptyBook,
  freshServer,
  json,
  serve,
  setTiming,
  someId,
  takesAll,
  unsentOf,
  until,
} from './support.mjs';

// The next round of the loop must not keep the process alive.
const start = globalThis.setTimeout;
globalThis.setTimeout = /** @type {any} */ (
  (/** @type {any[]} */ ...args) => start(.../** @type {[any]} */ (args)).unref()
);

const OWNER = { uid: 'a'.repeat(20), name: '' };

beforeEach(async () => {
  setTiming({ after_save_ms: 0, idle_ms: 600_000, backoff_first_ms: 600_000, backoff_max_ms: 600_000 });
  await emptyBook();
  await bindOwner(OWNER);
});

/** Store a change to send. @param {any} [more] */
async function putUnsent({ kind = 'tasting', ...more } = {}) {
  const id = someId();
  await db.outbox.put(unsentOf(id, { note: ['a', at(1)] }, { kind, ...more }));
  return id;
}

test('a round reports its phases', async () => {
  await putUnsent();
  /** @type {any[]} */
  const phases = [];
  const stop = activity.subscribe((value) => {
    phases.push(value);
  });
  serve(takesAll({}));
  assert.equal(await syncNow(), 'done');
  stop();
  assert.deepEqual(phases.slice(1, 4), [
    { phase: 'syncing', progress: null },
    { phase: 'syncing', progress: { done: 0, total: 1 } },
    { phase: 'syncing', progress: { done: 1, total: 1 } },
  ]);
  assert.deepEqual(phases.at(-1), { phase: 'idle', progress: null });
});

test('a round that waits or needs a sign-in says so', async () => {
  for (const [reply, end] of /** @type {[any, string][]} */ ([
    [() => Promise.reject(new TypeError('Failed to fetch')), 'waiting'],
    [() => json({ code: 'revoked' }, 401), 'signin'],
    [() => json({ ...answerOf(), format: 2 }), 'update'],
  ])) {
    serve(reply);
    assert.equal(await syncNow(), end);
    assert.deepEqual(activity.value, { phase: end, progress: null });
  }
});

test('an error ends a round, and is reported unless shown', async () => {
  const reported = mock.method(console, 'error', () => {}).mock;
  const fail = mock.method(db.meta, 'get', () => Promise.reject(new StoreError('full', null)));
  try {
    serve(takesAll({}));
    assert.equal(await syncNow(), 'waiting');
    assert.deepEqual(activity.value, { phase: 'waiting', progress: null });
    assert.equal(reported.callCount(), 0);
    fail.mock.mockImplementation(() => Promise.reject(new RangeError('wrong')));
    assert.equal(await syncNow(), 'waiting');
    assert.match(String(reported.calls[0]?.arguments[0]), /wrong/);
  } finally {
    mock.restoreAll();
  }
});

test('the loop starts once, and follows what is stored', async () => {
  const asked = serve(takesAll({}));
  const heard = mock.method(globalThis, 'addEventListener');
  startSync();
  startSync();
  await until(() => syncStatus.value.phase === 'idle' && typeof syncStatus.value.lastSynced === 'string');
  assert.equal(asked.filter(({ url }) => url === '/api/sync').length, 1);
  assert.equal(heard.mock.calls.filter(({ arguments: [name] }) => name === 'online').length, 1);
  await until(() => asked.some(({ url }) => url === '/api/palate'));
  heard.mock.restore();
  const rejected = await putUnsent({ held: 1, errors: { note: [{ code: 'too_long' }] } });
  await until(() => syncStatus.value.rejected.length === 1);
  assert.deepEqual(syncStatus.value.rejected, [
    { kind: 'tasting', id: rejected, errors: { note: [{ code: 'too_long' }] } },
  ]);
  assert.deepEqual([syncStatus.value.unsent, syncStatus.value.notes], [0, 0]);
  const sentinel = () => JSON.parse(localStorage.getItem(`${databaseName}.book`) ?? 'null');
  await until(() => sentinel()?.unsent === 1);
  assert.equal(sentinel().book, 'b'.repeat(20));
});

test('a saved change is sent without being asked for', async () => {
  const asked = serve(takesAll({}));
  const id = await putUnsent();
  await until(async () => (await db.outbox.count()) === 0);
  assert.ok(asked.some(({ init }) => String(init.body).includes(id)));
});

test('notes are counted apart from other changes', async () => {
  serve(() => Promise.reject(new TypeError('Failed to fetch')));
  await syncNow();
  await putUnsent({ kind: 'bottle' });
  await until(() => syncStatus.value.changes === 1);
  await putUnsent({ kind: 'bottle', held: 1 });
  await putUnsent();
  await putUnsent();
  await putUnsent({ held: 1 });
  await until(() => syncStatus.value.unsent === 3 && syncStatus.value.rejected.length === 2);
  assert.equal(syncStatus.value.notes, 2);
  assert.deepEqual(
    syncStatus.value.rejected.map(({ errors }) => errors),
    [{}, {}],
  );
  await db.photo_bytes.bulkPut([
    { id: 'a', state: 'unsent' },
    { id: 'b', state: 'refused' },
    { id: 'c', state: 'sent' },
  ]);
  await until(() => syncStatus.value.photos === 2);
});

test('a restored server is told until the user has read it', async () => {
  await db.meta.put({ ...freshServer(), cursor: 7, rewound_at: '2026-03-01T00:00:00+00:00' });
  await until(() => syncStatus.value.rewoundAt === '2026-03-01T00:00:00+00:00');
  await acknowledgeRewind();
  await until(() => syncStatus.value.rewoundAt === null);
  assert.equal((await db.meta.get('server')).cursor, 7);
});

test('the loop wakes when the network comes back', async () => {
  const asked = serve(takesAll({}));
  dispatchEvent(new Event('online'));
  await until(() => asked.some(({ url }) => url === '/api/sync'));
});

test('somebody who waits for answers of others syncs more often', async () => {
  const asked = serve(takesAll({}));
  await syncNow();
  const before = asked.length;
  const end = syncEvery(1);
  await until(() => asked.length > before + 1);
  end();
  await syncNow();
});

test('a record that broke the server is sent again in time', async () => {
  const asked = serve(takesAll({}));
  const id = await putUnsent({ held: 2, tries: 1, not_before_ms: Date.now() + 50 });
  await syncNow();
  await until(() => asked.some(({ init }) => String(init?.body).includes(id)));
  await until(async () => (await db.outbox.count()) === 0);
});

test('a status that cannot be read is reported', async () => {
  const reported = mock.method(console, 'error', () => {}).mock;
  mock.method(db.meta, 'bulkGet', () => Promise.reject(new RangeError('wrong')));
  await putUnsent();
  await until(() => reported.callCount() > 0);
  assert.match(String(reported.calls[0]?.arguments[0]), /wrong/);
  mock.restoreAll();
});

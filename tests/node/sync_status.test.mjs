// What the settings and the top of the page say about sync (static/sync/index.js). In order: one loop per page.
import assert from 'node:assert/strict';
import test, { before, beforeEach, mock } from 'node:test';
import { countUnsent } from '../../static/sync/count_unsent.js';
import { startSync, syncStatus } from '../../static/sync/index.js';
import { databaseName } from '../../static/store/database_name.js';
import { bindOwner } from '../../static/store/owner.js';
import { db } from '../../static/store/database.js';
import { at, emptyBook, freshServer, serve, setTiming, someId, unsentOf, until } from './support.mjs';

// The next round of the loop must not keep the process alive.
const start = globalThis.setTimeout;
globalThis.setTimeout = /** @type {any} */ (
  (/** @type {any[]} */ ...args) => start(.../** @type {[any]} */ (args)).unref()
);

const AFTER_SAVE_MS = 777_000;

before(async () => {
  setTiming({ after_save_ms: AFTER_SAVE_MS, backoff_first_ms: 600_000, backoff_max_ms: 600_000 });
  await emptyBook();
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
  serve(() => Promise.reject(new TypeError('Failed to fetch')));
  startSync();
  await until(() => syncStatus.value.phase === 'waiting');
});
beforeEach(async () => {
  await db.outbox.clear();
  await settled();
});

let marks = 0;

/** Wait until the status shows what was stored last, so that none of an earlier test is still to come. */
async function settled() {
  marks += 1;
  const last_synced = `mark ${marks}`;
  await db.meta.put({ ...freshServer(), last_synced });
  await until(() => syncStatus.value.lastSynced === last_synced);
}

/**
 * Store changes to send.
 * @param {number} count
 * @param {any} [more]
 * @param {Record<string, any>} [fields]
 */
async function putUnsent(count, { kind = 'tasting', ...more } = {}, fields = {}) {
  const said = Object.fromEntries(
    Object.entries({ note: 'a', ...fields }).map(([name, value]) => [name, [value, at(1)]]),
  );
  await db.outbox.bulkPut(Array.from({ length: count }, () => unsentOf(someId(), said, { kind, ...more })));
}

/** @param {number} unsent @returns {Promise<number>} the notes, once so many changes are counted */
async function notesOf(unsent) {
  await until(() => syncStatus.value.unsent === unsent);
  return syncStatus.value.notes;
}

test('the example and deletions are no notes', async () => {
  await putUnsent(1, {}, { example: true });
  await putUnsent(1, { deleted: true, deleted_clock: at(2) });
  assert.equal(await notesOf(2), 0);
  await putUnsent(3);
  assert.equal(await notesOf(5), 3);
});

test('an empty outbox is counted, not read', async () => {
  const read = mock.method(Object.getPrototypeOf(db.outbox), 'toArray');
  assert.equal((await countUnsent(db.outbox)).pending, 0);
  assert.equal(read.mock.callCount(), 0);
  await putUnsent(1);
  assert.equal((await countUnsent(db.outbox)).pending, 1);
  assert.ok(read.mock.callCount() > 0);
  read.mock.restore();
});

test('up to 500 notes are told from the example', async () => {
  await putUnsent(1, {}, { example: true });
  await putUnsent(499);
  assert.equal(await notesOf(500), 499);
  await putUnsent(1);
  assert.equal(await notesOf(501), 501);
});

test('a rejected part of the example is not taken from the notes', async () => {
  await putUnsent(1, { held: 1 }, { example: true });
  await putUnsent(1, { held: 1, deleted: true, deleted_clock: at(2) });
  await putUnsent(1, { held: 1 });
  await putUnsent(2);
  assert.equal(await notesOf(2), 2);
});

test('rejected changes count among those only here', async () => {
  await putUnsent(1, { held: 1 });
  await putUnsent(1, { held: 1, kind: 'pick' });
  await putUnsent(2, { kind: 'bottle' });
  assert.equal(await notesOf(2), 0);
  assert.equal(syncStatus.value.changes, 2);
  assert.deepEqual(syncStatus.value.onlyHere, { notes: 1, changes: 3 });
});

test('a note that waits to be sent alone still waits', async () => {
  await putUnsent(1, { held: 2 });
  await putUnsent(1);
  await until(() => syncStatus.value.notes === 2);
  assert.deepEqual(syncStatus.value.onlyHere, { notes: 2, changes: 0 });
});

test('a bottle that a note or a pick names is not counted', async () => {
  const [bottle, visit, seen] = [someId(), someId(), someId()];
  await db.outbox.bulkPut([
    unsentOf(bottle, { name: ['a', at(1)] }, { kind: 'bottle' }),
    unsentOf(visit, { name: ['a', at(1)] }, { kind: 'visit' }),
    unsentOf(seen, { name: ['a', at(1)] }, { kind: 'bottle' }),
    unsentOf(someId(), { bottle: [bottle, at(1)], visit: [visit, at(1)] }, { kind: 'tasting' }),
    unsentOf(someId(), { bottle: [seen, at(1)] }, { kind: 'pick' }),
  ]);
  assert.equal(await notesOf(5), 1);
  assert.equal(syncStatus.value.changes, 1);
});

test('very many changes are counted by kind', async () => {
  await putUnsent(400);
  await putUnsent(100, { kind: 'bottle' });
  await putUnsent(2, { kind: 'pick', held: 1 });
  await putUnsent(1, { held: 1 });
  await settled();
  assert.equal(await notesOf(500), 400);
  assert.equal(syncStatus.value.changes, 100);
  assert.deepEqual(syncStatus.value.onlyHere, { notes: 401, changes: 102 });
});

test('a change that leaves nothing to send starts no timer', async () => {
  const set = mock.method(globalThis, 'setTimeout');
  const started = () => set.mock.calls.filter(({ arguments: [, ms] }) => ms === AFTER_SAVE_MS).length;
  await db.meta.put({ ...freshServer(), last_synced: '2026-03-02T00:00:00+00:00' });
  await until(() => syncStatus.value.lastSynced === '2026-03-02T00:00:00+00:00');
  assert.equal(started(), 0);
  set.mock.restore();
});

test('a phone that met no server says so', async () => {
  await db.meta.put({ ...freshServer(), rewound_at: 'r', last_synced: 's' });
  await until(() => syncStatus.value.rewoundAt === 'r');
  await db.meta.delete('server');
  await until(() => syncStatus.value.rewoundAt !== 'r');
  assert.deepEqual([syncStatus.value.rewoundAt, syncStatus.value.lastSynced], [null, null]);
});

test('a notebook without an id has a status and no sentinel', async () => {
  const reported = mock.method(console, 'error', () => {}).mock;
  const key = `${databaseName}.book`;
  localStorage.removeItem(key);
  await db.transaction('rw', db.meta, db.outbox, async () => {
    await db.meta.delete('clock');
    await putUnsent(1);
  });
  assert.equal(await notesOf(1), 1);
  assert.equal(localStorage.getItem(key), null);
  assert.equal(reported.callCount(), 0);
});

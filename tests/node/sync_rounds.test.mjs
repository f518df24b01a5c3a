// What follows a round of static/sync/index.js, and what the first one sends again. In order: one loop per page.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { syncNow } from '../../static/sync/index.js';
import { msUntilRetry } from '../../static/sync/build_request.js';
import { activity } from '../../static/sync/status.js';
import { bindOwner } from '../../static/store/owner.js';
import { db } from '../../static/store/database.js';
import { StoreError } from '../../static/store/errors.js';
import { at, emptyBook, json, serve, setTiming, someId, takesAll, turns, unsentOf, until } from './support.mjs';

// The next round of the loop must not keep the process alive.
const start = globalThis.setTimeout;
globalThis.setTimeout = /** @type {any} */ (
  (/** @type {any[]} */ ...args) => start(.../** @type {[any]} */ (args)).unref()
);

const PAUSE_MS = 600_000;

beforeEach(async () => {
  const backoff = { backoff_first_ms: PAUSE_MS, backoff_max_ms: PAUSE_MS };
  setTiming({ ...backoff, after_save_ms: 0, idle_ms: PAUSE_MS, palate_quiet_ms: 0 });
  await emptyBook();
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
});
afterEach(() => mock.restoreAll());

/** Store a change to send. @param {any} [more] */
async function putUnsent({ kind = 'tasting', ...more } = {}) {
  const id = someId();
  await db.outbox.put(unsentOf(id, { note: ['a', at(1)] }, { kind, ...more }));
  return id;
}

/** Store a photo to upload. @param {any} [more] */
async function putPhoto(more) {
  const id = someId();
  const bytes = new ArrayBuffer(3);
  const row = { id, bytes, media_type: 'image/jpeg', state: 'unsent', errors: null, tries: 0, not_before_ms: 0 };
  await db.photo_bytes.put({ ...row, ...more });
  return id;
}

/** @param {{ url: string }[]} asked @param {string} address */
const countOf = (asked, address) => asked.filter(({ url }) => url.startsWith(address)).length;

/** Let the timers that are due run, and what they start. */
async function pass() {
  await new Promise((go) => {
    start(go, 2);
  });
  await turns();
}

/** Serve like a server that takes changes and photos. */
const takes = () =>
  serve((url, init) =>
    url.startsWith('/api/photos/') ? json({ id: url.slice('/api/photos/'.length) }) : takesAll({})(url, init),
  );

test('the first round sends again what had been rejected, once', async () => {
  const photo = await putPhoto({ state: 'refused', errors: { record: [{ code: 'too_many_photos' }] } });
  const rejected = { held: 1, errors: { note: [{ code: 'too_long' }] } };
  await putUnsent(rejected);
  takes();
  await syncNow();
  assert.equal(await db.outbox.count(), 0);
  await until(async () => (await db.photo_bytes.get(photo)).state === 'sent');
  await putUnsent(rejected);
  await syncNow();
  assert.equal(await db.outbox.count(), 1);
});

test('photos are uploaded after a round', async () => {
  const photo = await putPhoto();
  takes();
  await syncNow();
  await until(async () => (await db.photo_bytes.get(photo)).state === 'sent');
});

test('the palate is asked for after rounds that may change it', async () => {
  for (const kind of ['tasting', 'bottle', 'settings']) {
    await putUnsent({ kind });
    const asked = takes();
    await syncNow();
    await until(() => countOf(asked, '/api/palate') === 1);
    await pass();
  }
  for (const kind of ['visit', 'photo', '']) {
    if (kind) await putUnsent({ kind });
    const asked = takes();
    await syncNow();
    await pass();
    await syncNow();
    assert.equal(countOf(asked, '/api/palate'), 0, kind);
  }
});

test('nothing follows a round that failed', async () => {
  await putPhoto();
  const asked = serve(() => new Response('', { status: 503, headers: { 'Retry-After': '9' } }));
  assert.equal(await syncNow(), 'waiting');
  await pass();
  assert.equal(asked.length, 1);
});

test('a round with nothing left is not followed by another', async () => {
  const asked = takes();
  await syncNow();
  await msUntilRetry();
  await pass();
  assert.equal(countOf(asked, '/api/sync'), 1);
});

test('a record that breaks the server goes up again by itself', async () => {
  const id = await putUnsent();
  let isBroken = true;
  const asked = serve(async (url, init) => {
    if (!isBroken) return takesAll({})(url, init);
    isBroken = false;
    await db.outbox.update(id, { held: 2, not_before_ms: Date.now() + 20 });
    return takesAll({ outcomes: [] })(url, init);
  });
  await syncNow();
  await until(async () => (await db.outbox.count()) === 0);
  assert.ok(countOf(asked, '/api/sync') > 1);
});

test('a phone that cannot tell when to try again goes on', async () => {
  const real = db.transaction;
  mock.method(db, 'transaction', (/** @type {any[]} */ ...args) =>
    String(args.slice(0, 2)) === 'r,outbox'
      ? Promise.reject(new StoreError('connection_lost', null))
      : real.apply(db, /** @type {any} */ (args)),
  );
  takes();
  assert.equal(await syncNow(), 'done');
  await pass();
});

test('a lock that is refused ends a round', async () => {
  takes();
  mock.method(console, 'error', () => {});
  mock.method(navigator.locks, 'request', () => Promise.reject(new DOMException('refused', 'InvalidStateError')));
  assert.equal(await syncNow(), 'waiting');
  assert.deepEqual(activity.value, { phase: 'waiting', progress: null });
});

test('a pause follows a round that threw', async () => {
  takes();
  mock.method(Math, 'random', () => 1);
  const set = mock.method(globalThis, 'setTimeout');
  mock.method(db.meta, 'get', () => Promise.reject(new StoreError('full', null)));
  assert.equal(await syncNow(), 'waiting');
  assert.equal(set.mock.calls.at(-1)?.arguments[1], PAUSE_MS);
});

test('a call during a round that threw is tried at once', async () => {
  const asked = takes();
  const fail = mock.method(db.meta, 'get', async () => {
    fail.mock.restore();
    throw new StoreError('full', null);
  });
  syncNow();
  assert.equal(await syncNow(), 'waiting');
  await until(() => countOf(asked, '/api/sync') === 1);
});

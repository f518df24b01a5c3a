// What the phone keeps beside the records: revisions, invalid values, copies that can be dropped.
import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { changeCount } from '../../static/store/changes.js';
import { freeSpace } from '../../static/store/evict.js';
import { loadInvalidValues, saveInvalidValues } from '../../static/store/invalid_values.js';
import { fetchRevisions } from '../../static/store/revisions.js';
import { stateKey } from '../../static/store/database_name.js';
import { bindOwner } from '../../static/store/owner.js';
import { db, withReconnect } from '../../static/store/database.js';
import { emptyBook, json, serve, someId } from './support.mjs';

beforeEach(emptyBook);

const REVISIONS = [{ field: 'name', value: 'a', clock: 'c', device: 'd', at_ms: 1, overruled_at: null }];

test('revisions come from the server and are cached', async () => {
  const id = someId();
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
  const asked = serve(() => json({ revisions: REVISIONS }));
  const timeouts = mock.method(AbortSignal, 'timeout').mock;
  assert.deepEqual(await fetchRevisions('bottle', id), { revisions: REVISIONS, fresh: true });
  const { url, init } = /** @type {any} */ (asked[0]);
  assert.equal(url, `/api/records/bottle/${id}/revisions`);
  assert.equal(init.headers['Second-Nose-Owner'], 'a'.repeat(20));
  assert.equal(init.signal.aborted, false);
  assert.deepEqual(timeouts.calls[0]?.arguments, [15_000]);
  mock.restoreAll();
  serve(() => Promise.reject(new TypeError('Failed to fetch')));
  assert.deepEqual(await fetchRevisions('bottle', id), { revisions: REVISIONS, fresh: false });
  assert.deepEqual(await fetchRevisions('tasting', id), { revisions: [], fresh: false });
});

test('a note that the server does not know has no revisions', async () => {
  serve(() => json({ code: 'not_found' }, 404));
  assert.deepEqual(await fetchRevisions('bottle', someId()), { revisions: [], fresh: true });
});

test('an answer that is none leaves the cached revisions', async () => {
  const id = someId();
  serve(() => json({ revisions: REVISIONS }));
  await fetchRevisions('bottle', id);
  for (const reply of [() => json({ revisions: [] }, 500), () => json({ revisions: 'x' }), () => json(null)]) {
    serve(reply);
    assert.deepEqual(await fetchRevisions('bottle', id), { revisions: REVISIONS, fresh: false });
  }
});

test('invalid values of a pour are kept until they are corrected', async () => {
  const [one, other] = [someId(), someId()];
  assert.deepEqual(await loadInvalidValues(one), {});
  await saveInvalidValues(one, {});
  assert.equal(await db.meta.get('faulty'), undefined);
  await saveInvalidValues(one, { 'bottle.label_abv': '13,,5' });
  await saveInvalidValues(other, { 'tasting.price': '?' });
  assert.deepEqual(await loadInvalidValues(one), { 'bottle.label_abv': '13,,5' });
  assert.deepEqual(await loadInvalidValues(other), { 'tasting.price': '?' });
  await saveInvalidValues(one, {});
  assert.deepEqual((await db.meta.get('faulty')).pours, { [other]: { 'tasting.price': '?' } });
});

test('invalid values of the fifty latest pours are kept', async () => {
  const pours = Array.from({ length: 52 }, someId);
  for (const id of pours) await saveInvalidValues(id, { a: 'b' });
  assert.deepEqual(Object.keys((await db.meta.get('faulty')).pours), pours.slice(2));
  await saveInvalidValues(String(pours[2]), { a: 'c' });
  assert.deepEqual(Object.keys((await db.meta.get('faulty')).pours), [...pours.slice(3), pours[2]]);
});

test('a page closed at once keeps what was typed or corrected', async () => {
  const id = someId();
  const leftBy = (/** @type {Record<string, unknown>} */ typed) => {
    const saved = saveInvalidValues(id, typed);
    dispatchEvent(new Event('pagehide'));
    const { value } = JSON.parse(localStorage[`${stateKey}faulty`]);
    return saved.then(() => value);
  };
  await loadInvalidValues(id);
  assert.deepEqual(await leftBy({ 'bottle.label_abv': 88 }), { [id]: { 'bottle.label_abv': 88 } });
  assert.deepEqual(await leftBy({}), null);
  const left = { value: { [id]: { 'bottle.label_abv': 88 } }, at: Date.now() + 1 };
  localStorage[`${stateKey}faulty`] = JSON.stringify(left);
  assert.deepEqual(await loadInvalidValues(id), { 'bottle.label_abv': 88 });
  assert.deepEqual((await db.meta.get('faulty')).pours, { [id]: { 'bottle.label_abv': 88 } });
});

test('space is freed by what can be fetched again', async () => {
  assert.equal(await freeSpace(), false);
  await db.cache.put({ name: 'a' });
  assert.equal(await freeSpace(), true);
  assert.equal(await db.cache.count(), 0);
  await db.photo_bytes.bulkPut([
    { id: 'sent', state: 'sent' },
    { id: 'unsent', state: 'unsent' },
    { id: 'refused', state: 'refused' },
  ]);
  assert.equal(await freeSpace(), true);
  assert.deepEqual(
    (await db.photo_bytes.toArray()).map(({ id }) => id),
    ['refused', 'unsent'],
  );
  assert.equal(await freeSpace(), false);
});

test('each change of a table is counted', async () => {
  const before = changeCount.value;
  await db.cache.put({ name: 'a' });
  assert.equal(changeCount.value, before + 1);
});

test('a page that was opened has counted no change', async () => {
  const page = await import('../../static/store/changes.js?opened');
  assert.equal(page.changeCount.value, 0);
});

test('space is freed without waiting for the disk', async () => {
  const begun = mock.method(IDBDatabase.prototype, 'transaction').mock;
  // Dexie takes the method when it opens a connection.
  const lost = mock.fn(async () => {
    if (lost.mock.callCount() === 0) throw Object.assign(new Error('lost'), { name: 'UnknownError' });
  });
  await withReconnect(lost);
  await freeSpace();
  assert.deepEqual(
    begun.calls.flatMap(({ arguments: [, , options] }) => options ?? []),
    [{ durability: 'relaxed' }],
  );
  mock.restoreAll();
});

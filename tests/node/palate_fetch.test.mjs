// What is asked of the server for a palate, and what is kept of its answer.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { bindOwner } from '../../static/store/owner.js';
import {
  fetchExamplePalate,
  palate,
  personPalates,
  refreshPalate,
  refreshPersonPalates,
} from '../../static/store/palate_cache.js';
import { db } from '../../static/store/database.js';
import { emptyBook, json, serve } from './support.mjs';

const OWNER = { uid: 'a'.repeat(20), name: '' };
const row = (/** @type {string} */ name) => db.cache.get(name);

beforeEach(async () => {
  await emptyBook();
  await bindOwner(OWNER);
  palate.value = null;
  personPalates.value = new Map();
});
afterEach(() => mock.restoreAll());

test('a palate is asked for with its version and kept', async () => {
  const asked = serve(() => json({ n_rated: 1 }, 200, { ETag: '"1"' }));
  const timeouts = mock.method(AbortSignal, 'timeout').mock;
  await refreshPalate();
  assert.deepEqual(timeouts.calls[0]?.arguments, [30_000]);
  const first = /** @type {any} */ (asked[0]);
  assert.deepEqual([first.url, first.init.cache, first.init.signal.aborted], ['/api/palate', 'no-store', false]);
  assert.equal(first.init.headers['Second-Nose-Owner'], OWNER.uid);
  assert.equal('If-None-Match' in first.init.headers, false);
  assert.deepEqual(await row('palate'), { name: 'palate', document: { n_rated: 1 }, etag: '"1"' });
  await refreshPalate();
  assert.equal(/** @type {any} */ (asked[1]).init.headers['If-None-Match'], '"1"');
});

test('a kept palate is shown while the server is away', async () => {
  await db.cache.put({ name: 'palate', document: { n_rated: 4 }, etag: null });
  serve(() => Promise.reject(new TypeError('Failed to fetch')));
  await refreshPalate();
  assert.deepEqual(palate.value, { n_rated: 4 });
  await db.cache.put({ name: 'palate', document: { n_rated: 9 }, etag: null });
  await refreshPalate();
  assert.deepEqual(palate.value, { n_rated: 4 }, 'what is shown stays');
});

test('an answer without a palate changes nothing', async () => {
  const kept = { name: 'palate', document: { n_rated: 4 }, etag: '"4"' };
  await db.cache.put(kept);
  for (const reply of [
    () => new Response(null, { status: 304 }),
    () => json({}, 404),
    () => json({ n_rated: 5 }, 500),
    () => new Response('{"n_rated": 5}', { headers: { 'Content-Type': 'text/html' } }),
    () => new Response(null, { status: 200 }),
    () => new Response('{', { headers: { 'Content-Type': 'application/json' } }),
  ]) {
    serve(reply);
    await refreshPalate();
    assert.deepEqual([palate.value, await row('palate')], [{ n_rated: 4 }, kept]);
  }
});

test('a palate is shown even if there is no room to keep it', async () => {
  serve(() => json({ n_rated: 6 }));
  mock.method(db.cache, 'put', () => Promise.reject(Object.assign(new Error(), { name: 'QuotaExceededError' })));
  await refreshPalate();
  assert.deepEqual(palate.value, { n_rated: 6 });
  mock.method(db.cache, 'get', () => Promise.reject(new RangeError('wrong')));
  serve(() => json({ n_rated: 7 }));
  await refreshPalate();
  assert.deepEqual(palate.value, { n_rated: 7 });
});

test('palates of people are fetched singly, with their versions', async () => {
  await db.cache.put({ name: 'palate:ben', document: { n_rated: 2 }, etag: '"2"' });
  const asked = serve((url) => json({ n_rated: url.includes('ben') ? 3 : 1 }, 200, { ETag: '"3"' }));
  await refreshPersonPalates(['ada', 'ben']);
  assert.deepEqual(
    asked.map(({ url, init }) => [url, init.headers['If-None-Match']]),
    [
      ['/api/palate?person=ada', undefined],
      ['/api/palate?person=ben', '"2"'],
    ],
  );
  assert.deepEqual(Object.fromEntries(personPalates.value), { ada: { n_rated: 1 }, ben: { n_rated: 3 } });
  assert.deepEqual(await row('palate:ben'), { name: 'palate:ben', document: { n_rated: 3 }, etag: '"3"' });
});

test('the palate of a person that is current stays', async () => {
  const kept = { name: 'palate:ben', document: { n_rated: 2 }, etag: '"2"' };
  await db.cache.put(kept);
  for (const reply of [
    () => new Response(null, { status: 304 }),
    () => Promise.reject(new TypeError('Failed to fetch')),
  ]) {
    serve(reply);
    await refreshPersonPalates(['ben']);
    assert.deepEqual(Object.fromEntries(personPalates.value), { ben: { n_rated: 2 } });
    assert.deepEqual(await row('palate:ben'), kept);
  }
  await db.cache.clear();
  await refreshPersonPalates(['ben']);
  assert.deepEqual(Object.fromEntries(personPalates.value), { ben: { n_rated: 2 } }, 'it is still in memory');
});

test('the own palate is kept when those of people are removed', async () => {
  await db.cache.bulkPut([
    { name: 'palate', document: { n_rated: 1 }, etag: null },
    { name: 'palate:ben', document: { n_rated: 2 }, etag: null },
  ]);
  serve(() => json({}, 404));
  await refreshPersonPalates([]);
  assert.deepEqual([...personPalates.value], []);
  assert.equal(await row('palate:ben'), undefined);
  assert.notEqual(await row('palate'), undefined);
});

test('a failure with one list of people does not end the next', async () => {
  serve(() => json({ n_rated: 8 }));
  const where = mock.method(db.cache, 'where', () => {
    throw new RangeError('wrong');
  });
  await refreshPersonPalates(['ada']);
  where.mock.restore();
  await refreshPersonPalates(['ada']);
  assert.deepEqual(Object.fromEntries(personPalates.value), { ada: { n_rated: 8 } });
});

test('one person without an answer does not keep back another', async () => {
  for (const reply of [
    () => Promise.reject(new TypeError('Failed to fetch')),
    () => new Response(null, { status: 304 }),
    () => json({}, 500),
  ]) {
    personPalates.value = new Map();
    serve((url) => (url.includes('ada') ? reply() : json({ n_rated: 3 })));
    await refreshPersonPalates(['ada', 'ben']);
    assert.deepEqual(Object.fromEntries(personPalates.value), { ben: { n_rated: 3 } });
  }
});

test('palates of people are shown even if there is no room', async () => {
  mock.method(db.cache, 'put', () => Promise.reject(Object.assign(new Error(), { name: 'QuotaExceededError' })));
  serve(() => json({ n_rated: 3 }));
  await refreshPersonPalates(['ada', 'ben']);
  assert.deepEqual([...personPalates.value.keys()], ['ada', 'ben']);
});

test('nothing is kept of a person of whom the server has none', async () => {
  await db.cache.put({ name: 'palate:ben', document: { n_rated: 2 }, etag: '"2"' });
  serve(() => json({}, 404));
  await refreshPersonPalates(['ben']);
  assert.equal(await row('palate:ben'), undefined);
  assert.equal(personPalates.value.size, 0);
});

test('the palate of the example is fetched and not kept', async () => {
  const asked = serve(() => json({ n_rated: 20 }, 200, { ETag: '"1"' }));
  assert.deepEqual(await fetchExamplePalate(), { n_rated: 20 });
  const { url, init } = /** @type {any} */ (asked[0]);
  assert.deepEqual([url, init.headers['If-None-Match']], ['/api/palate?taster=example', undefined]);
  assert.equal(await db.cache.count(), 0);
  for (const reply of [
    () => Promise.reject(new TypeError('Failed to fetch')),
    () => json({}, 404),
    () => new Response(null, { status: 500 }),
  ]) {
    serve(reply);
    assert.equal(await fetchExamplePalate(), null);
  }
});

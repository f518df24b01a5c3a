import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { db } from '../../static/store/database.js';
import { round } from '../../static/sync/round.js';
import { at, emptyBook, json, serve, someId, takesAll, unsentOf } from './support.mjs';

const OWNER = { uid: 'o'.repeat(20), name: 'Ada' };

beforeEach(emptyBook);
afterEach(() => mock.restoreAll());

/** @returns {Promise<any>} */
const go = () => round(() => {});

test('a book is bound to its owner before a note leaves', async () => {
  await db.outbox.put(unsentOf(someId(), { name: ['a', at(1)] }));
  const asked = serve((url, init) => (url === '/api/me' ? json({ owner: OWNER }) : takesAll({})(url, init)));
  assert.equal((await go()).end, 'done');
  assert.deepEqual(
    asked.map(({ url }) => url),
    ['/api/me', '/api/sync'],
  );
  assert.equal((await db.meta.get('owner')).uid, OWNER.uid);
});

test('a book without an owner sends nothing', async () => {
  await db.outbox.put(unsentOf(someId(), { name: ['a', at(1)] }));
  for (const [reply, end] of [
    [
      () => {
        throw new TypeError('Failed to fetch');
      },
      'waiting',
    ],
    [() => json({}, 401), 'signin'],
  ]) {
    const asked = serve(reply);
    const found = await go();
    assert.deepEqual([found.end, found.wait_ms, found.moved.size], [end, 0, 0]);
    assert.deepEqual(
      asked.map(({ url }) => url),
      ['/api/me'],
    );
  }
});

test('a server that names no owners is synced with', async () => {
  const asked = serve((url, init) => (url === '/api/me' ? json({}, 404) : takesAll({})(url, init)));
  assert.equal((await go()).end, 'done');
  assert.deepEqual(
    asked.map(({ url }) => url),
    ['/api/me', '/api/sync'],
  );
});

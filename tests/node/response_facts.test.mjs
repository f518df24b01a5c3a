// What a response tells about the server: confirmed, restored, emptied.
import assert from 'node:assert/strict';
import test from 'node:test';
import { toChange } from '../../static/store/outbox.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { db } from '../../static/store/database.js';
import {
  NOW,
  OTHER,
  answerOf,
  at,
  freshServer,
  recordOf,
  requestOf,
  setTiming,
  someId,
  unsentOf,
  useEmptyBook,
} from './support.mjs';

useEmptyBook();

const server = () => db.meta.get('server');
const clock = () => db.meta.get('clock');

test('what the server has confirmed counts as seen', async () => {
  const row = unsentOf(someId(), { name: ['a', at(5)], region: ['r', at(2)] });
  await db.outbox.put(row);
  const request = requestOf({ sent: [toChange(row)] });
  await applyResponse(answerOf({ outcomes: [{ id: row.id, outcome: 'applied' }] }), request);
  assert.equal((await server()).seen, at(5));
});

test('what a restored server had before does not count as seen', async () => {
  await db.meta.put({ ...freshServer(), seen: at(40, OTHER) });
  await applyResponse(answerOf({ rewound: true, cursor: 0 }), requestOf());
  assert.equal((await server()).seen, null);
});

test('dropped values are written again by the time of the server', async () => {
  setTiming({ skew_ms: 1_000 });
  const [id, mark] = [someId(), { deleted: true, deleted_clock: at(10, OTHER) }];
  await db.bottle.put({ ...recordOf(id, { name: ['a', at(50)], grapes: ['g', at(2, OTHER)] }), gone: 0 });
  const changes = [recordOf(id, { name: ['a', at(50)], grapes: [null, at(10, OTHER)] }, mark)];
  await applyResponse(answerOf({ now: NOW + 600_000, changes }), requestOf());
  const stamp = at(600_000);
  const { fields, clocks } = await db.bottle.get(id);
  assert.deepEqual(
    [fields, clocks],
    [
      { name: 'a', grapes: 'g' },
      { name: at(50), grapes: stamp },
    ],
  );
  assert.equal((await clock()).last, stamp);
});

test('an emptied record takes the cached revisions with it', async () => {
  const id = someId();
  await db.cache.put({ name: `earlier:bottle:${id}`, revisions: [] });
  const mark = { deleted: true, deleted_clock: at(5, OTHER) };
  await applyResponse(answerOf({ changes: [recordOf(id, { name: [null, at(5, OTHER)] }, mark)] }), requestOf());
  assert.equal(await db.cache.count(), 0);
});

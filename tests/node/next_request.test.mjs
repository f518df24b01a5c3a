// The request that is sent while the answer before it is applied.
import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { gunzipSync } from 'node:zlib';
import { buildRequest } from '../../static/sync/build_request.js';
import { buildNextRequest, prepareChanges } from '../../static/sync/next_request.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { round } from '../../static/sync/round.js';
import { bindOwner } from '../../static/store/owner.js';
import { db } from '../../static/store/database.js';
import {
  answerOf,
  at,
  emptyBook,
  json,
  OTHER,
  recordOf,
  serve,
  setTiming,
  someId,
  takesAll,
  turns,
  unsentOf,
} from './support.mjs';

const SERVER = { epoch: 'e1', token: 't0', cursor: 1 };

beforeEach(async () => {
  await emptyBook({}, SERVER);
  await bindOwner({ uid: 'o'.repeat(20), name: '' });
  setTiming({});
});

/** @param {number} count @param {any} [more] */
async function put(count, more) {
  const made = Array.from({ length: count }, () => unsentOf(someId(), { name: ['a', at(1)] }, more));
  await db.outbox.bulkPut(made);
  return made.map(({ id }) => id);
}

/** @param {any} request @param {any} [more] */
const accepted = ({ sent }, more) =>
  answerOf({ cursor: 5, outcomes: sent.map(({ id }) => ({ id, outcome: 'applied' })), ...more });

const page = () => [{ ...recordOf(someId(), { name: ['b', at(2, OTHER)] }), seq: 5 }];
const ids = (/** @type {any} */ request) => request?.sent.map(({ id }) => id);

/** Build the request after one of two changes. @param {any} [more] of the answer to that */
async function afterTwo(more) {
  const request = await buildRequest(2, 9);
  return { request, next: await buildNextRequest(accepted(request, more), request, null, 2, 9) };
}

test('the next request has the next changes and the new cursor', async () => {
  const all = await put(5);
  const { request, next } = await afterTwo();
  assert.deepEqual([ids(request), ids(next)], [all.slice(0, 2), all.slice(2, 4)]);
  const { token, epoch, cursor, limit, changes } = JSON.parse(String(next?.body));
  assert.deepEqual([token, epoch, cursor, limit, changes.length], ['t1', 'e1', 5, 9, 2]);
  assert.deepEqual([next?.waiting, next?.complete], [3, true]);
});

test('the token is stored before it is used, the cursor is not', async () => {
  const all = await put(5);
  await afterTwo();
  const { token, cursor } = await db.meta.get('server');
  assert.deepEqual([token, cursor], ['t1', 1]);
  // As after a crash: everything is sent again, from the old cursor.
  const again = await buildRequest(9, 9);
  assert.deepEqual([ids(again), again.token, again.cursor], [all, 't1', 1]);
});

test('the first answer is applied after its epoch is stored', async () => {
  await emptyBook();
  const request = await buildRequest(2, 9);
  const answer = answerOf({ cursor: 5, more: true, changes: page() });
  const next = await buildNextRequest(answer, request, null, 2, 9);
  await applyResponse(answer, { ...request, epoch: String(next?.epoch) });
  const { epoch, cursor } = await db.meta.get('server');
  assert.deepEqual([epoch, cursor, await db.bottle.count()], ['e1', 5, 1]);
});

test('rejected and postponed changes are left to later requests', async () => {
  const first = await put(2);
  await put(1, { held: 1 });
  await put(1, { held: 2, not_before_ms: Infinity });
  const last = await put(1);
  const request = await buildRequest(2, 9);
  const next = await buildNextRequest(accepted(request), request, null, 3, 9);
  assert.deepEqual([ids(request), ids(next)], [first, last]);
});

for (const [name, more] of /** @type {[string, any][]} */ ([
  ['a restored server', { rewound: true }],
  ['a copied phone', { fork: true }],
  ['a refused change', { outcomes: [] }],
])) {
  test(`the answer to ${name} is applied first`, async () => {
    await put(5);
    assert.equal((await afterTwo(more)).next, null);
    assert.equal((await db.meta.get('server')).token, 't0');
  });
}

test('nothing is asked for when nothing is left', async () => {
  await put(2);
  assert.equal((await afterTwo()).next, null);
  assert.ok((await afterTwo({ more: true })).next);
});

test('an empty page with more to come is not asked for ahead', async () => {
  const request = await buildRequest(2, 9);
  const empty = answerOf({ cursor: 5, more: true });
  assert.equal(await buildNextRequest(empty, request, null, 2, 9), null);
  assert.ok(await buildNextRequest({ ...empty, changes: page() }, request, null, 2, 9));
});

for (const change of [{ token: 'tx' }, { epoch: 'ex' }, { cursor: 3 }]) {
  test(`a tab that stored another ${Object.keys(change)[0]} meanwhile is respected`, async () => {
    await put(5);
    const request = await buildRequest(2, 9);
    await db.meta.update('server', change);
    assert.equal(await buildNextRequest(accepted(request), request, null, 2, 9), null);
  });
}

test('a new device id waits for the answer', async () => {
  await put(5);
  const request = await buildRequest(2, 9);
  await db.meta.update('clock', { device: OTHER });
  assert.equal(await buildNextRequest(accepted(request), request, null, 2, 9), null);
});

test('changes are compressed while the request before is under way', async () => {
  const all = await put(4);
  const request = await buildRequest(2, 9);
  const prepared = await prepareChanges(request, 2);
  const next = await buildNextRequest(accepted(request), request, prepared, 2, 9);
  assert.deepEqual(ids(next), all.slice(2));
  const packed = await next?.packed;
  assert.equal(gunzipSync(Buffer.from(packed ?? new ArrayBuffer(0))).toString(), next?.body);
});

test('prepared changes are read again after a save', async () => {
  const [, , edited] = await put(4);
  const request = await buildRequest(2, 9);
  const prepared = await prepareChanges(request, 2);
  await db.outbox.update(edited, { fields: { name: 'later' }, clocks: { name: at(3) } });
  await db.meta.update('clock', { last: at(3) });
  const next = await buildNextRequest(accepted(request), request, prepared, 2, 9);
  assert.equal(next?.sent[0]?.fields['name'], 'later');
  assert.equal(next?.last, at(3));
});

test('nothing is sent during a rewind', async () => {
  await emptyBook({}, { ...SERVER, rewinding: true });
  await put(3);
  const request = await buildRequest(2, 9);
  const next = await buildNextRequest(answerOf({ cursor: 5, more: true, changes: page() }), request, null, 2, 9);
  assert.deepEqual([ids(next), next?.waiting], [[], 0]);
});

test('a round of several requests sends and reads all of them once', async () => {
  setTiming({ max_push: 2, max_pull: 1 });
  await put(6);
  let seq = 1;
  /** @type {any[]} */
  const asked = [];
  serve((_, { body }) => {
    const told = JSON.parse(body);
    asked.push([told.changes.length, told.cursor, told.token]);
    seq += 1;
    const outcomes = told.changes.map(({ id }) => ({ id, outcome: 'applied' }));
    return json(answerOf({ token: `t${seq}`, cursor: seq, more: seq < 6, outcomes, changes: page() }));
  });
  const { end } = await round(() => {});
  assert.equal(end, 'done');
  assert.deepEqual(asked, [
    [2, 1, 't0'],
    [2, 2, 't2'],
    [2, 3, 't3'],
    [0, 4, 't4'],
    [0, 5, 't5'],
  ]);
  const { cursor, token } = await db.meta.get('server');
  assert.deepEqual([cursor, token, await db.outbox.count(), await db.bottle.count()], [6, 't6', 0, 5]);
});

test('an answer is applied if the next request cannot be made', async () => {
  setTiming({ max_push: 2 });
  await put(4);
  const asked = serve(takesAll({}));
  const fails = mock.method(
    IDBObjectStore.prototype,
    'put',
    () => {
      throw new DOMException('no room', 'QuotaExceededError');
    },
    { times: 1 },
  );
  assert.equal((await round(() => {})).end, 'done');
  assert.ok(fails.mock.callCount() >= 1);
  fails.mock.restore();
  assert.deepEqual([asked.length, await db.outbox.count()], [2, 0]);
});

test('a text that cannot be compressed does no harm', async () => {
  const usual = globalThis.CompressionStream;
  const fails = () => {
    throw new Error('no memory');
  };
  /** @type {any} */ (globalThis).CompressionStream = function broken() {
    return new TransformStream({ transform: fails });
  };
  await put(4);
  const { sent } = await prepareChanges(await buildRequest(2, 9), 2);
  assert.equal(sent.length, 2);
  // An unhandled rejection would fail the test.
  for (let time = 0; time < 5; time += 1) await turns();
  globalThis.CompressionStream = usual;
});

test('changes are compressed early where the browser can', async () => {
  await put(3);
  const request = await buildRequest(2, 9);
  const usual = globalThis.CompressionStream;
  delete (/** @type {any} */ (globalThis).CompressionStream);
  assert.equal((await prepareChanges(request, 2)).end('}'), null);
  globalThis.CompressionStream = usual;
  assert.ok((await prepareChanges(request, 2)).end('}'));
  assert.equal((await prepareChanges(await buildRequest(3, 9), 2)).end('}'), null);
});

test('an empty page after one change is asked for ahead', async () => {
  await put(1);
  assert.ok((await afterTwo({ more: true })).next);
});

test('the cursor moves with the pages of a first sync', async () => {
  await db.meta.delete('server');
  serve((_, { body }) => {
    const cursor = JSON.parse(body).cursor + 1;
    return json(answerOf({ cursor, more: cursor < 3, changes: page() }));
  });
  assert.equal((await round(() => {})).end, 'done');
  assert.deepEqual([(await db.meta.get('server')).cursor, await db.bottle.count()], [3, 3]);
});

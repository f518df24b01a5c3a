import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { round } from '../../static/sync/round.js';
import { db } from '../../static/store/database.js';
import { answerOf, at, emptyBook, json, recordOf, serve, setTiming, someId, takesAll, unsentOf } from './support.mjs';

const OWNER = { uid: 'o'.repeat(20), name: 'Ada' };
/** @type {any[]} */
let progress;

beforeEach(async () => {
  progress = [];
  await emptyBook();
  await db.meta.put({ name: 'owner', uid: OWNER.uid, owner_name: OWNER.name });
  setTiming({ max_push: 4 });
  // The batch size is kept between rounds; a few successful ones restore the maximum.
  for (let time = 0; time < 3; time += 1) {
    serve(takesAll({}));
    await go();
  }
  progress = [];
});
afterEach(() => mock.restoreAll());

/** @returns {Promise<any>} */
const go = () => round((told) => progress.push(told));
const sizes = (asked) => asked.map(({ init }) => JSON.parse(init.body).changes.length);

/** @param {number} count */
async function rows(count) {
  const made = Array.from({ length: count }, () => unsentOf(someId(), { name: ['a', at(1)] }));
  await db.outbox.bulkPut(made);
  return made;
}

/**
 * Reply in turn; the last reply is repeated.
 * @param {((url: string, init: any) => any)[]} replies
 */
function serveInTurn(...replies) {
  return serve((url, init) => (replies.length > 1 ? /** @type {any} */ (replies.shift()) : replies[0])(url, init));
}

const status =
  (code, headers = {}) =>
  () =>
    new Response('', { status: code, headers });

test('a round ends when both sides hold the same', async () => {
  await rows(3);
  const asked = serve(takesAll({}));
  const { end, wait_ms, moved } = await go();
  assert.deepEqual([end, wait_ms, [...moved], sizes(asked)], ['done', 0, ['bottle'], [3]]);
  assert.equal(await db.outbox.count(), 0);
  assert.deepEqual(progress, [
    { done: 0, total: 3 },
    { done: 3, total: 3 },
  ]);
});

test('a round tells how far the clock of the phone is off', async () => {
  const hour_ms = 3_600_000;
  await rows(1);
  serve(takesAll({ now: Date.now() + hour_ms }));
  await go();
  const { correction_ms } = /** @type {any} */ (await db.meta.get('clock'));
  assert.ok(correction_ms <= hour_ms && correction_ms > hour_ms - 600_000, String(correction_ms));
});

test('a round goes on while something is due', async () => {
  await rows(10);
  const asked = serve(takesAll({}));
  assert.equal((await go()).end, 'done');
  assert.deepEqual(sizes(asked), [4, 4, 2]);
  assert.deepEqual(
    progress.map(({ done, total }) => [done, total]),
    [
      [0, 10],
      [4, 10],
      [4, 10],
      [8, 10],
      [8, 10],
      [10, 10],
    ],
  );
});

test('a long round that goes well is not cut short', async () => {
  await rows(20);
  const asked = serve(takesAll({}));
  assert.equal((await go()).end, 'done');
  assert.deepEqual(sizes(asked), [4, 4, 4, 4, 4]);
});

test('a round goes on while the server has more', async () => {
  const change = () => ({ ...recordOf(someId(), { name: ['b', at(2)] }), seq: 1 });
  const asked = serveInTurn(
    takesAll({ more: true, remaining: 2, changes: [change(), change()] }),
    takesAll({ more: true, remaining: 1, changes: [change()] }),
    takesAll({ changes: [change()] }),
  );
  const { end, moved } = await go();
  assert.deepEqual([end, [...moved], asked.length, await db.bottle.count()], ['done', ['bottle'], 3, 4]);
  assert.deepEqual(
    progress.map(({ done, total }) => [done, total]),
    [
      [0, 0],
      [2, 4],
      [2, 4],
      [3, 4],
      [3, 4],
      [4, 4],
    ],
  );
});

test('a round bears some answers that move nothing', async () => {
  for (const more of [
    { more: true },
    { more: true, rewound: true, changes: [{ ...recordOf(someId(), { name: ['b', at(2)] }), seq: 1 }] },
  ]) {
    const asked = serve(takesAll(more));
    assert.equal((await go()).end, 'waiting');
    assert.equal(asked.length, 4);
  }
});

test('a server that answers for nothing sent is left alone', async () => {
  await rows(1);
  const asked = serve(takesAll({ outcomes: [] }));
  assert.equal((await go()).end, 'waiting');
  assert.equal(asked.length, 4);
  assert.equal(await db.outbox.count(), 1);
});

test('a server that only restamps is left alone', async () => {
  const [row, other] = await rows(2);
  const asked = serve((_, { body }) =>
    json(
      answerOf({
        more: true,
        cursor: JSON.parse(body).cursor,
        outcomes: JSON.parse(body).changes.map(({ id }) => ({
          id,
          outcome: id === row.id ? 'restamp' : 'refused',
          errors: {},
        })),
        changes: [{ ...recordOf(someId(), { name: ['b', at(2)] }), seq: 1 }],
      }),
    ),
  );
  assert.equal((await go()).end, 'waiting');
  assert.equal(asked.length, 4);
  assert.equal((await db.outbox.get(other.id)).held, 1);
});

test('an answer that moved something is not counted as stalled', async () => {
  const change = () => ({ ...recordOf(someId(), { name: ['b', at(2)] }), seq: 1 });
  const full = () => takesAll({ more: true, changes: [change()] });
  const asked = serveInTurn(full(), full(), full(), full(), full(), takesAll({}));
  assert.equal((await go()).end, 'done');
  assert.equal(asked.length, 6);
});

test('refused records count as moved', async () => {
  await rows(6);
  const asked = serve((_, { body }) =>
    json(
      answerOf({
        cursor: 1,
        outcomes: JSON.parse(body).changes.map(({ id }) => ({ id, outcome: 'refused', errors: {} })),
      }),
    ),
  );
  assert.equal((await go()).end, 'done');
  assert.deepEqual(sizes(asked), [4, 2]);
  assert.deepEqual(
    progress.map(({ done, total }) => [done, total]),
    [
      [0, 6],
      [4, 6],
      [4, 6],
      [6, 6],
    ],
  );
});

test('answers that refuse a half are not counted as stalled', async () => {
  setTiming({ max_push: 2 });
  await rows(10);
  const asked = serve((_, { body }) =>
    json(
      answerOf({
        cursor: 1,
        outcomes: JSON.parse(body).changes.map(({ id }, place) => ({
          id,
          outcome: place === 0 ? 'applied' : 'refused',
          errors: {},
        })),
      }),
    ),
  );
  assert.equal((await go()).end, 'done');
  assert.deepEqual(sizes(asked), [2, 2, 2, 2, 2]);
});

test('trouble ends a round', async () => {
  for (const [reply, end, wait_ms] of [
    [status(503, { 'Retry-After': '7' }), 'waiting', 7_000],
    [status(504), 'waiting', 0],
    [() => json({}, 401), 'signin', 0],
    [() => json({}, 426), 'update', 0],
    [
      () => {
        throw new TypeError('Failed to fetch');
      },
      'waiting',
      0,
    ],
  ]) {
    const asked = serve(reply);
    const found = await go();
    assert.deepEqual([found.end, found.wait_ms, found.moved.size, asked.length], [end, wait_ms, 0, 1]);
  }
});

test('trouble with an empty request ends a round', async () => {
  for (const code of [413, 500]) {
    const asked = serve(status(code));
    assert.equal((await go()).end, 'waiting');
    assert.equal(asked.length, 1);
  }
});

test('a request that is too big is halved', async () => {
  const made = await rows(4);
  const tooBig = (_, { body }) => JSON.parse(body).changes.some(({ id }) => id === made[0].id);
  const asked = serve((url, init) => (tooBig(url, init) ? new Response('', { status: 413 }) : takesAll({})(url, init)));
  assert.equal((await go()).end, 'done');
  assert.deepEqual(sizes(asked), [4, 2, 1, 1, 2]);
  const { held, errors } = await db.outbox.get(made[0].id);
  assert.deepEqual([held, errors, await db.outbox.count()], [1, { record: [{ code: 'too_big_to_send' }] }, 1]);
});

test('an odd number of records is halved downwards', async () => {
  await rows(3);
  const asked = serveInTurn(status(413), takesAll({}));
  assert.equal((await go()).end, 'done');
  assert.deepEqual(sizes(asked), [3, 1, 2]);
});

test('a size that was met is kept for the next round', async () => {
  await rows(4);
  serveInTurn(status(413), status(503));
  await go();
  const asked = serve(takesAll({}));
  await go();
  assert.deepEqual(sizes(asked), [2, 2]);
});

test('a record that breaks the server is set aside', async () => {
  const made = await rows(3);
  const asked = serve((url, init) =>
    JSON.parse(init.body).changes.some(({ id }) => id === made[1].id)
      ? new Response('', { status: 500 })
      : takesAll({})(url, init),
  );
  assert.equal((await go()).end, 'done');
  assert.deepEqual(sizes(asked), [3, 1, 2, 1, 1]);
  const { held, tries } = await db.outbox.get(made[1].id);
  assert.deepEqual([held, tries, await db.outbox.count()], [2, 1, 1]);
});

test('two broken records in a row are the server', async () => {
  await rows(3);
  const asked = serve(status(500));
  assert.equal((await go()).end, 'waiting');
  assert.deepEqual(sizes(asked), [3, 1, 1]);
  assert.deepEqual(
    (await db.outbox.toArray()).map(({ held }) => held),
    [2, 2, 0],
  );
});

test('an answer between them clears two broken records', async () => {
  const made = await rows(5);
  const broken = new Set([made[0].id, made[2].id]);
  serve((url, init) =>
    JSON.parse(init.body).changes.some(({ id }) => broken.has(id))
      ? new Response('', { status: 500 })
      : takesAll({})(url, init),
  );
  assert.equal((await go()).end, 'done');
  assert.deepEqual(
    (await db.outbox.toArray()).map(({ id }) => id),
    [...broken],
  );
});

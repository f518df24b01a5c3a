// How large the requests of a slow connection are.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { round } from '../../static/sync/round.js';
import { bindOwner } from '../../static/store/owner.js';
import { db } from '../../static/store/database.js';
import { at, emptyBook, freshServer, serve, setTiming, someId, takesAll, unsentOf } from './support.mjs';

beforeEach(async () => {
  await emptyBook({}, { ...freshServer(), epoch: 'e1', cursor: 1 });
  await bindOwner({ uid: 'o'.repeat(20), name: '' });
  setTiming({ max_push: 4, max_pull: 8 });
  // The batch size is kept between rounds; a few successful ones restore the maximum.
  for (let time = 0; time < 4; time += 1) await answered();
});
afterEach(() => {
  mock.restoreAll();
  setTiming({});
});

/** @returns {Promise<{ up: number, down: number }[]>} the sizes of the requests of a round */
async function answered() {
  const asked = serve(takesAll({}));
  await round(() => {});
  return sizesOf(asked);
}

/** @param {{ init: any }[]} asked */
function sizesOf(asked) {
  return asked
    .map(({ init }) => JSON.parse(init.body))
    .map(({ changes, limit }) => ({ up: changes.length, down: limit }));
}

/** @param {number} count */
const put = (count) =>
  db.outbox.bulkPut(Array.from({ length: count }, () => unsentOf(someId(), { name: ['a', at(1)] })));

/** Run a round whose requests get no answer in time. */
async function late() {
  setTiming({ max_push: 4, max_pull: 8, request_timeout_ms: 1, byte_ms: 0 });
  const asked = serve(
    (_, { signal }) =>
      new Promise((_resolve, reject) => {
        // The timer of a signal does not keep the process alive.
        const alive = setInterval(() => {}, 1_000);
        signal.addEventListener('abort', () => {
          clearInterval(alive);
          reject(signal.reason);
        });
      }),
  );
  const { end, wait_ms } = await round(() => {});
  setTiming({ max_push: 4, max_pull: 8 });
  return { end, wait_ms, sizes: sizesOf(asked) };
}

test('a request without an answer in time halves the next ones', async () => {
  await put(4);
  assert.deepEqual(await late(), { end: 'waiting', wait_ms: 0, sizes: [{ up: 4, down: 8 }] });
  assert.deepEqual((await late()).sizes, [{ up: 2, down: 4 }]);
  assert.deepEqual((await late()).sizes, [{ up: 1, down: 2 }]);
  assert.deepEqual((await late()).sizes, [{ up: 1, down: 1 }]);
  assert.deepEqual((await late()).sizes, [{ up: 1, down: 1 }]);
  assert.equal(await db.outbox.count(), 4);
});

test('answers in good time double the requests again', async () => {
  await put(4);
  for (let time = 0; time < 3; time += 1) await late();
  await put(3);
  assert.deepEqual(await answered(), [
    { up: 1, down: 1 },
    { up: 2, down: 2 },
    { up: 4, down: 4 },
  ]);
  await put(5);
  assert.deepEqual(await answered(), [
    { up: 4, down: 8 },
    { up: 1, down: 8 },
  ]);
});

test('an answer that took long does not double the requests', async () => {
  await put(3);
  await late();
  setTiming({ max_push: 4, max_pull: 8, request_timeout_ms: 1_000 });
  let now = 0;
  let took_ms = 501;
  mock.method(performance, 'now', () => (now += took_ms));
  const slow = await answered();
  assert.deepEqual(slow.slice(0, 2), [
    { up: 1, down: 4 },
    { up: 1, down: 4 },
  ]);
  took_ms = 500;
  await answered();
  await put(2);
  assert.deepEqual((await answered())[0], { up: 2, down: 8 });
});

test('a request without changes halves only its answer', async () => {
  assert.deepEqual((await late()).sizes, [{ up: 0, down: 8 }]);
  await put(4);
  assert.deepEqual((await answered())[0], { up: 4, down: 4 });
});

test('one change without an answer in time is sent alone', async () => {
  await put(1);
  assert.deepEqual((await late()).sizes, [{ up: 1, down: 8 }]);
  await put(3);
  assert.equal((await answered())[0]?.up, 1);
});

test('an odd number of answers is halved downwards', async () => {
  setTiming({ max_pull: 3 });
  await answered();
  assert.equal((await late()).sizes[0]?.down, 3);
  assert.equal((await late()).sizes[0]?.down, 1);
});

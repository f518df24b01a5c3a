import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { Schedule, onReconnect } from '../../static/sync/schedule.js';
import { NOW, setTiming, turns } from './support.mjs';

const TIMES = { after_save_ms: 100, idle_ms: 10_000, backoff_first_ms: 1_000, backoff_max_ms: 5_000 };

/** @type {Schedule} */
let schedule;
/** @type {((end: any) => void)[]} resolve functions of the rounds that have started */
let rounds;
let isDue;

beforeEach(() => {
  setTiming(TIMES);
  mock.timers.enable({ apis: ['Date', 'setTimeout'], now: NOW });
  // Without jitter the delay is the longest possible.
  mock.method(Math, 'random', () => 1);
  rounds = [];
  isDue = true;
  schedule = new Schedule(
    () =>
      new Promise((end) => {
        rounds.push(end);
      }),
    async () => isDue,
  );
});
afterEach(() => {
  mock.restoreAll();
  mock.timers.reset();
});

/** End the last round. @param {string} [how] @param {number} [wait_ms] */
async function end(how = 'done', wait_ms = 0) {
  rounds.at(-1)({ end: how, wait_ms, moved: new Set() });
  await turns();
}

/** @param {number} ms */
async function pass(ms) {
  mock.timers.tick(ms);
  await turns();
}

/** Assert that no round starts within this time and that one starts then. @param {number} ms */
async function next(ms) {
  const before = rounds.length;
  await pass(ms - 1);
  assert.equal(rounds.length, before);
  await pass(1);
  assert.equal(rounds.length, before + 1);
}

test('a round tells how it ended', async () => {
  const done = schedule.now();
  await end('signin');
  assert.equal((await done).end, 'signin');
});

test('a round that is under way is not doubled', async () => {
  const [one, other] = [schedule.now(), schedule.now()];
  assert.equal(rounds.length, 1);
  await end();
  assert.equal(await one, await other);
});

test('a look at the server follows an idle time', async () => {
  schedule.now();
  await end();
  await next(TIMES.idle_ms);
});

test('a shorter interval holds until it ends', async () => {
  schedule.now();
  await end();
  schedule.limitInterval(300);
  await next(300);
  await end();
  await next(300);
  await end('waiting');
  await next(1_000);
  await end();
  await next(300);
  schedule.limitInterval(Infinity);
  await end();
  await next(TIMES.idle_ms);
});

test('pauses after trouble grow up to the most', async () => {
  schedule.now();
  for (const ms of [1_000, 2_000, 4_000, 5_000, 5_000]) {
    await end('waiting');
    await next(ms);
  }
});

test('pauses begin anew after a round that went well', async () => {
  schedule.now();
  await end('waiting');
  await next(1_000);
  await end('done');
  await next(TIMES.idle_ms);
  await end('waiting');
  await next(1_000);
});

test('pauses begin anew when somebody asks', async () => {
  schedule.now();
  await end('waiting');
  await next(1_000);
  await end('waiting');
  schedule.now();
  await end('waiting');
  await next(1_000);
});

test('pauses are spread over half their length', async () => {
  Math.random.mock.mockImplementation(() => 0);
  schedule.now();
  await end('waiting');
  await next(500);
  Math.random.mock.mockImplementation(() => 0.5);
  await end('waiting');
  await next(1_500);
});

test('a server that names a time is not asked sooner', async () => {
  schedule.now();
  await end('waiting', 4_000);
  await next(4_000);
  await end('waiting', 1);
  await next(2_000);
});

test('a sign-in or an update is not waited for in haste', async () => {
  schedule.now();
  await end('signin', 3);
  await next(TIMES.idle_ms);
  await end('update', 3);
  await next(TIMES.idle_ms);
});

test('a save goes up shortly after', async () => {
  schedule.now();
  await end();
  schedule.afterChange();
  await next(TIMES.after_save_ms);
});

test('a save before the first round goes up shortly after', async () => {
  schedule.afterChange();
  await next(TIMES.after_save_ms);
});

test('saves that follow closely go up together', async () => {
  schedule.now();
  await end();
  schedule.afterChange();
  await pass(60);
  schedule.afterChange();
  await next(TIMES.after_save_ms);
  await end();
  await pass(TIMES.idle_ms - 1);
  assert.equal(rounds.length, 2);
});

test('a save that has gone up needs no round of its own', async () => {
  schedule.now();
  await end();
  isDue = false;
  schedule.afterChange();
  await pass(TIMES.after_save_ms);
  assert.equal(rounds.length, 1);
  await next(TIMES.idle_ms);
});

test('a save during a round goes up after it', async () => {
  schedule.now();
  schedule.afterChange();
  await end();
  await next(TIMES.after_save_ms);
  await end();
  await next(TIMES.idle_ms);
});

test('a call during a round is answered by another round', async () => {
  schedule.now();
  schedule.now();
  await end();
  await next(TIMES.after_save_ms);
});

test('a save during trouble waits for the next try', async () => {
  schedule.now();
  schedule.afterChange();
  await end('waiting');
  schedule.afterChange();
  await next(1_000);
});

test('a phone that is back while a round hangs tries again', async () => {
  schedule.now();
  schedule.now();
  await end('waiting');
  await pass(0);
  assert.equal(rounds.length, 2);
  await end('waiting');
  await next(2_000);
});

test('a server that names a time is not called again', async () => {
  schedule.now();
  schedule.now();
  await end('waiting', 3_000);
  await next(3_000);
});

test('a call ends the pause', async () => {
  schedule.now();
  await end('waiting');
  schedule.now();
  assert.equal(rounds.length, 2);
  await pass(TIMES.idle_ms);
  assert.equal(rounds.length, 2);
});

test('what is due sooner brings the next round forward', async () => {
  schedule.now();
  await end();
  schedule.runWithin(3_000);
  schedule.runWithin(4_000);
  await next(3_000);
  await end();
  await next(TIMES.idle_ms);
});

test('what is due later does not put off the next round', async () => {
  schedule.now();
  await end();
  schedule.runWithin(TIMES.idle_ms);
  await pass(1);
  schedule.runWithin(TIMES.idle_ms);
  await next(TIMES.idle_ms - 1);
});

test('what is due during a round comes after it', async () => {
  schedule.now();
  schedule.runWithin(3_000);
  await pass(1_000);
  await end();
  await next(2_000);
});

test('what is overdue after a round comes at once', async () => {
  schedule.now();
  schedule.runWithin(3_000);
  await pass(4_000);
  assert.equal(rounds.length, 1);
  await end();
  await pass(0);
  assert.equal(rounds.length, 2);
});

test('a save that was not due leaves a round under way alone', async () => {
  schedule.now();
  await end();
  isDue = false;
  schedule.afterChange();
  mock.timers.tick(TIMES.after_save_ms);
  schedule.begin();
  await turns();
  await end('waiting');
  await next(1_000);
});

test('a phone that is back is woken once an event', () => {
  let woken = 0;
  onReconnect(() => {
    woken += 1;
  });
  dispatchEvent(new Event('online'));
  assert.equal(woken, 1);
  dispatchEvent(Object.assign(new Event('pageshow'), { persisted: false }));
  assert.equal(woken, 1);
  dispatchEvent(Object.assign(new Event('pageshow'), { persisted: true }));
  assert.equal(woken, 2);
  document.visibilityState = 'hidden';
  document.dispatchEvent(new Event('visibilitychange'));
  assert.equal(woken, 2);
  document.visibilityState = 'visible';
  document.dispatchEvent(new Event('visibilitychange'));
  assert.equal(woken, 3);
});

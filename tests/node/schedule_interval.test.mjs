// Rounds that somebody asks for within a time, and shorter intervals (static/sync/schedule.js).
import assert from 'node:assert/strict';
import test from 'node:test';
import { TIMES, driven, end, next, pass, useSchedule } from './schedule_driver.mjs';

useSchedule();

test('a shorter interval holds until it ends', async () => {
  driven.schedule.now();
  await end();
  driven.schedule.limitInterval(300);
  await next(300);
  await end();
  await next(300);
  await end('waiting');
  await next(1_000);
  await end();
  await next(300);
  driven.schedule.limitInterval(Infinity);
  await end();
  await next(TIMES.idle_ms);
});

test('an interval asked for before the first round starts it', async () => {
  driven.schedule.limitInterval(300);
  await next(300);
});

test('a shorter interval does not shorten a pause', async () => {
  driven.schedule.now();
  await end('waiting');
  driven.schedule.limitInterval(300);
  await next(1_000);
});

test('pauses after failures are short while somebody waits', async () => {
  driven.schedule.limitInterval(300);
  driven.schedule.now();
  for (const pause of [1_000, 1_500, 1_500]) {
    await end('waiting');
    await next(pause);
  }
  driven.schedule.limitInterval(Infinity);
  await end('waiting');
  await next(TIMES.backoff_max_ms);
});

test('a long pause ends sooner once somebody waits', async () => {
  driven.schedule.now();
  for (const pause of [1_000, 2_000, 4_000]) {
    await end('waiting');
    await next(pause);
  }
  await end('waiting');
  await pass(100);
  driven.schedule.limitInterval(300);
  await next(TIMES.backoff_watched_ms);
  await end('waiting', 4_000);
  driven.schedule.limitInterval(300);
  await next(4_000);
});

test('a pause that the server asked for is kept', async () => {
  driven.schedule.now();
  driven.schedule.runWithin(300);
  await end('waiting', 4_000);
  await next(4_000);
});

test('a shorter interval is not for a sign-in', async () => {
  driven.schedule.limitInterval(300);
  driven.schedule.now();
  await end('signin');
  driven.schedule.limitInterval(300);
  await next(TIMES.idle_ms);
});

test('a longer interval puts off neither a save nor a round', async () => {
  driven.schedule.now();
  await end();
  driven.schedule.limitInterval(300);
  await pass(250);
  driven.schedule.afterChange();
  driven.schedule.limitInterval(5_000);
  await next(50);
});

test('what is due sooner brings the next round forward', async () => {
  driven.schedule.now();
  await end();
  driven.schedule.runWithin(3_000);
  driven.schedule.runWithin(4_000);
  await next(3_000);
  await end();
  await next(TIMES.idle_ms);
});

test('what is due later does not put off the next round', async () => {
  driven.schedule.now();
  await end();
  driven.schedule.runWithin(TIMES.idle_ms);
  await pass(1);
  driven.schedule.runWithin(TIMES.idle_ms);
  await next(TIMES.idle_ms - 1);
});

test('what is due during a round comes after it', async () => {
  driven.schedule.now();
  driven.schedule.runWithin(3_000);
  await pass(1_000);
  await end();
  await next(2_000);
});

test('what is overdue after a round comes at once', async () => {
  driven.schedule.now();
  driven.schedule.runWithin(3_000);
  await pass(4_000);
  assert.equal(driven.rounds.length, 1);
  await end();
  await pass(0);
  assert.equal(driven.rounds.length, 2);
});

test('what is due later does not put off a save', async () => {
  driven.schedule.now();
  await end();
  driven.schedule.afterChange();
  driven.schedule.runWithin(3_000);
  await next(TIMES.after_save_ms);
});

test('an interval asked for is kept after any order of events', async () => {
  for (let seed = 1; seed <= 60; seed += 1) await followsInterval(seed);
});

/** Assert that after random events rounds come at the interval again. @param {number} seed */
async function followsInterval(seed) {
  let state = seed;
  const below = (/** @type {number} */ limit) => {
    state = (state * 48_271) % 2_147_483_647;
    return state % limit;
  };
  const { schedule } = driven;
  const events = [
    () => {
      schedule.limitInterval(Infinity);
      schedule.limitInterval(300);
    },
    () => schedule.afterChange(),
    () => void schedule.now(),
    () => schedule.runWithin(1_000 * below(20)),
    () => end(below(4) ? 'done' : 'waiting'),
  ];
  schedule.limitInterval(300);
  for (let step = 0; step < 20; step += 1) {
    driven.isDue = below(2) === 0;
    await events[below(events.length)]?.();
    await pass(below(150));
  }
  await end();
  // The pause after a failure is not shortened.
  if (schedule.last === 'waiting') await pass(TIMES.backoff_watched_ms);
  await end();
  driven.isDue = false;
  const before = driven.rounds.length;
  // In two parts, because a save looks for what is due before the interval begins.
  await pass(TIMES.after_save_ms);
  await pass(300);
  assert.ok(driven.rounds.length > before, `seed ${seed}`);
  await end();
}

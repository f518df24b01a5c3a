import assert from 'node:assert/strict';
import test, { mock } from 'node:test';
import { onReconnect } from '../../static/sync/schedule.js';
import { TIMES, driven, end, next, pass, useSchedule } from './schedule_driver.mjs';
import { turns } from './support.mjs';

useSchedule();

test('a round tells how it ended', async () => {
  const done = driven.schedule.now();
  await end('signin');
  assert.equal((await done).end, 'signin');
});

test('a round that is under way is not doubled', async () => {
  const [one, other] = [driven.schedule.now(), driven.schedule.now()];
  assert.equal(driven.rounds.length, 1);
  await end();
  assert.equal(await one, await other);
});

test('a look at the server follows an idle time', async () => {
  driven.schedule.now();
  await end();
  await next(TIMES.idle_ms);
});

test('pauses after trouble grow up to the most', async () => {
  driven.schedule.now();
  for (const ms of [1_000, 2_000, 4_000, 5_000, 5_000]) {
    await end('waiting');
    await next(ms);
  }
});

test('pauses begin anew after a round that went well', async () => {
  driven.schedule.now();
  await end('waiting');
  await next(1_000);
  await end('done');
  await next(TIMES.idle_ms);
  await end('waiting');
  await next(1_000);
});

test('pauses begin anew when somebody asks', async () => {
  driven.schedule.now();
  await end('waiting');
  await next(1_000);
  await end('waiting');
  driven.schedule.now();
  await end('waiting');
  await next(1_000);
});

test('pauses are spread over half their length', async () => {
  Math.random.mock.mockImplementation(() => 0);
  driven.schedule.now();
  await end('waiting');
  await next(500);
  Math.random.mock.mockImplementation(() => 0.5);
  await end('waiting');
  await next(1_500);
});

test('a server that names a time is not asked sooner', async () => {
  driven.schedule.now();
  await end('waiting', 4_000);
  await next(4_000);
  await end('waiting', 1);
  await next(2_000);
});

test('a sign-in or an update is not waited for in haste', async () => {
  driven.schedule.now();
  await end('signin', 3);
  await next(TIMES.idle_ms);
  await end('update', 3);
  await next(TIMES.idle_ms);
});

test('a save goes up shortly after', async () => {
  driven.schedule.now();
  await end();
  driven.schedule.afterChange();
  await next(TIMES.after_save_ms);
});

test('a save before the first round goes up shortly after', async () => {
  driven.schedule.afterChange();
  await next(TIMES.after_save_ms);
});

test('saves that follow closely go up together', async () => {
  driven.schedule.now();
  await end();
  driven.schedule.afterChange();
  await pass(60);
  driven.schedule.afterChange();
  await next(TIMES.after_save_ms);
  await end();
  await pass(TIMES.idle_ms - 1);
  assert.equal(driven.rounds.length, 2);
});

test('a save that has gone up needs no round of its own', async () => {
  driven.schedule.now();
  await end();
  driven.isDue = false;
  driven.schedule.afterChange();
  await pass(TIMES.after_save_ms);
  assert.equal(driven.rounds.length, 1);
  await next(TIMES.idle_ms);
});

test('a save during a round goes up after it', async () => {
  driven.schedule.now();
  driven.schedule.afterChange();
  await end();
  await next(TIMES.after_save_ms);
  await end();
  await next(TIMES.idle_ms);
});

test('a call during a round is answered by another round', async () => {
  driven.schedule.now();
  driven.schedule.now();
  await end();
  await next(TIMES.after_save_ms);
});

test('a save during trouble waits for the next try', async () => {
  driven.schedule.now();
  driven.schedule.afterChange();
  await end('waiting');
  driven.schedule.afterChange();
  await next(1_000);
});

test('a phone that is back while a round hangs tries again', async () => {
  driven.schedule.now();
  driven.schedule.now();
  await end('waiting');
  await pass(0);
  assert.equal(driven.rounds.length, 2);
  await end('waiting');
  await next(2_000);
});

test('a sign-in that is asked for twice is asked for once', async () => {
  driven.schedule.now();
  driven.schedule.now();
  await end('signin');
  await next(TIMES.idle_ms);
});

test('a server that names a time is not called again', async () => {
  driven.schedule.now();
  driven.schedule.now();
  await end('waiting', 3_000);
  await next(3_000);
});

test('a call ends the pause', async () => {
  driven.schedule.now();
  await end('waiting');
  driven.schedule.now();
  assert.equal(driven.rounds.length, 2);
  await pass(TIMES.idle_ms);
  assert.equal(driven.rounds.length, 2);
});

test('a phone that is back asks at once', async () => {
  driven.schedule.now();
  await end('waiting');
  driven.schedule.wake();
  assert.equal(driven.rounds.length, 2);
});

test('a phone that is back keeps the time that a server named', async () => {
  driven.schedule.now();
  for (let failures = 0; failures < 3; failures += 1) {
    await end('waiting');
    await pass(TIMES.backoff_max_ms);
  }
  await end('waiting', 3_000);
  driven.schedule.wake();
  await next(3_000);
});

test('a clock that is set back puts off no round', async () => {
  driven.schedule.now();
  await end();
  mock.timers.setTime(Date.now() - 3_600_000);
  driven.schedule.wake();
  assert.equal(driven.rounds.length, 2);
  await end('waiting', 3_000);
  mock.timers.setTime(Date.now() - 3_600_000);
  driven.schedule.wake();
  await next(3_000);
});

test('a save that was not due leaves a round under way alone', async () => {
  driven.schedule.now();
  await end();
  driven.isDue = false;
  driven.schedule.afterChange();
  mock.timers.tick(TIMES.after_save_ms);
  driven.schedule.begin();
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

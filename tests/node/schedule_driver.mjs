// Drives a Schedule by hand: rounds that end when told, and timers that pass when told.
import assert from 'node:assert/strict';
import { afterEach, beforeEach, mock } from 'node:test';
import { Schedule } from '../../static/sync/schedule.js';
import { NOW, setTiming, turns } from './support.mjs';

export const TIMES = {
  after_save_ms: 100,
  idle_ms: 10_000,
  backoff_first_ms: 1_000,
  backoff_max_ms: 5_000,
  backoff_watched_ms: 1_500,
};

/** What each test has anew: the schedule, the resolve functions of the rounds, and whether a save is due. */
export const driven = {
  schedule: /** @type {Schedule} */ (/** @type {unknown} */ (null)),
  rounds: /** @type {((end: any) => void)[]} */ ([]),
  isDue: true,
};

/** Start each test of the file with a schedule whose delays are the longest possible, without jitter. */
export function useSchedule() {
  beforeEach(() => {
    setTiming(TIMES);
    mock.timers.enable({ apis: ['Date', 'setTimeout'], now: NOW });
    mock.method(Math, 'random', () => 1);
    const work = () =>
      new Promise((end) => {
        driven.rounds.push(end);
      });
    const schedule = new Schedule(/** @type {any} */ (work), async () => driven.isDue);
    Object.assign(driven, { schedule, rounds: [], isDue: true });
  });
  afterEach(() => {
    mock.restoreAll();
    mock.timers.reset();
  });
}

/** End the last round. @param {string} [how] @param {number} [wait_ms] */
export async function end(how = 'done', wait_ms = 0) {
  driven.rounds.at(-1)?.({ end: how, wait_ms, moved: new Set() });
  await turns();
}

/** @param {number} ms */
export async function pass(ms) {
  mock.timers.tick(ms);
  await turns();
}

/** Assert that no round starts within this time and that one starts then. @param {number} ms */
export async function next(ms) {
  const before = driven.rounds.length;
  await pass(ms - 1);
  assert.equal(driven.rounds.length, before);
  await pass(1);
  assert.equal(driven.rounds.length, before + 1);
}

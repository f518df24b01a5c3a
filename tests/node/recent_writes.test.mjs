import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { isDraft, noteWritten } from '../../static/store/recent_writes.js';
import { setTiming } from './support.mjs';

beforeEach(() => {
  setTiming({ draft_ms: 1_000 });
  mock.timers.enable({ apis: ['Date'], now: 50_000 });
});
afterEach(() => mock.timers.reset());

test('a value is a draft for as long as drafts last', () => {
  noteWritten('one');
  assert.equal(isDraft('one'), true);
  assert.equal(isDraft('another'), false);
  mock.timers.setTime(50_999);
  assert.equal(isDraft('one'), true);
  mock.timers.setTime(51_000);
  assert.equal(isDraft('one'), false);
});

test('a value from a time to come is no draft', () => {
  noteWritten('two');
  mock.timers.setTime(49_999);
  assert.equal(isDraft('two'), false);
});

test('drafts that are over are forgotten', () => {
  noteWritten('old');
  mock.timers.setTime(50_900);
  noteWritten('young');
  mock.timers.setTime(51_100);
  noteWritten('new');
  mock.timers.setTime(50_500);
  // The phone's time was set back: an old value that is still known would count as fresh again.
  assert.equal(isDraft('old'), false);
  assert.equal(isDraft('young'), false);
  mock.timers.setTime(51_200);
  assert.deepEqual(['old', 'young', 'new'].map(isDraft), [false, true, true]);
});

test('a fresh value keeps those behind it', () => {
  setTiming({ draft_ms: 10_000 });
  noteWritten('first');
  mock.timers.setTime(50_100);
  noteWritten('second');
  mock.timers.setTime(50_200);
  noteWritten('third');
  assert.deepEqual(['first', 'second', 'third'].map(isDraft), [true, true, true]);
});

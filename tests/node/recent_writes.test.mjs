import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { isRecentWrite, noteCommit } from '../../static/store/recent_writes.js';
import { setTiming } from './support.mjs';

beforeEach(() => {
  setTiming({ draft_ms: 1_000 });
  mock.timers.enable({ apis: ['Date'], now: 50_000 });
});
afterEach(() => mock.timers.reset());

test('a value is a draft for as long as drafts last', () => {
  noteCommit('one');
  assert.equal(isRecentWrite('one'), true);
  assert.equal(isRecentWrite('another'), false);
  mock.timers.setTime(50_999);
  assert.equal(isRecentWrite('one'), true);
  mock.timers.setTime(51_000);
  assert.equal(isRecentWrite('one'), false);
});

test('a value from a time to come is no draft', () => {
  noteCommit('two');
  mock.timers.setTime(49_999);
  assert.equal(isRecentWrite('two'), false);
});

test('drafts that are over are forgotten', () => {
  noteCommit('old');
  mock.timers.setTime(50_900);
  noteCommit('young');
  mock.timers.setTime(51_100);
  noteCommit('new');
  mock.timers.setTime(50_500);
  // The clock was set back: if the old entry were still known, it would count as recent again.
  assert.equal(isRecentWrite('old'), false);
  assert.equal(isRecentWrite('young'), false);
  mock.timers.setTime(51_200);
  assert.deepEqual(['old', 'young', 'new'].map(isRecentWrite), [false, true, true]);
});

test('a fresh value keeps those behind it', () => {
  setTiming({ draft_ms: 10_000 });
  noteCommit('first');
  mock.timers.setTime(50_100);
  noteCommit('second');
  mock.timers.setTime(50_200);
  noteCommit('third');
  assert.deepEqual(['first', 'second', 'third'].map(isRecentWrite), [true, true, true]);
});

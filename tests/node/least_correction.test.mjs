// How far the clock of a phone is wrong, as one exchange with the server proves it.
import assert from 'node:assert/strict';
import test from 'node:test';
import { leastCorrection } from '../../static/sync/least_correction.js';

test('a clock that may be right is not corrected', () => {
  assert.equal(leastCorrection(1_000, 900, 1_100), 0);
  // Ten seconds on the way explain it.
  assert.equal(leastCorrection(11_000, 900, 11_200), 0);
  assert.equal(leastCorrection(1_000, 1_000, 1_000), 0);
});

test('a clock that is behind gets the least that is right', () => {
  assert.equal(leastCorrection(61_000, 900, 1_100), 59_900);
});

test('a clock that is ahead gets the least that is right', () => {
  assert.equal(leastCorrection(1_000, 60_900, 61_100), -59_900);
  assert.equal(leastCorrection(1_000, 60_900.4, 61_100), -59_900);
});

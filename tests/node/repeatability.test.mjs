// Repeated judgements and guesses: the least data, and verdicts close to their margin.
import assert from 'node:assert/strict';
import test from 'node:test';
import { guessSheet, repeatability } from '../../static/rules/stats/repeatability.js';

test('one bottle judged twice has a deviation', () => {
  const found = repeatability([[1, 3], [5]]);
  assert.deepEqual([found.bottles, found.repeats], [1, 2]);
  assert.ok(Math.abs(Number(found.within_sd) - Math.SQRT2) < 1e-12);
  assert.ok(Math.abs(Number(found.limit) - 3.92) < 1e-12);
});

test('the error of one guess has no sign', () => {
  const { bias, error, verdict } = guessSheet([{ guess: 10, truth: 12 }]);
  assert.deepEqual({ bias, error, verdict }, { bias: -2, error: 2, verdict: 'too_few' });
});

// The mean of the true values is 5, so guessing it is wrong by 5, 5, 5, 5 and 0.
const TRUTHS = [0, 10, 0, 10, 5];

test('a verdict needs gains beyond one and a half deviations', () => {
  const verdict = (/** @type {number[]} */ errors) =>
    guessSheet(TRUTHS.map((truth, index) => ({ truth, guess: truth + Number(errors[index]) }))).verdict;
  assert.equal(verdict([1, 1, 5, 5, 0]), 'beats_average');
  assert.equal(verdict([1, 5, 5, 5, 0]), 'about_average');
  assert.equal(verdict([9, 5, 5, 5, 0]), 'about_average');
  assert.equal(verdict([9, 9, 9, 9, 0]), 'behind_average');
});

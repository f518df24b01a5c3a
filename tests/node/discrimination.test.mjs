// Right answers against guessing: limits of the input, inclusive levels and small probabilities.
import assert from 'node:assert/strict';
import test from 'node:test';
import { discrimination, evaluateGuesses, minCorrect, pValue } from '../../static/rules/stats/discrimination.js';

test('a property of every object is no kind of test', () => {
  for (const name of ['toString', 'square'])
    assert.throws(() => discrimination(name, 1, 2), { code: 'unknown_test', field: 'test' });
});

test('trials, chance and level have limits', () => {
  assert.equal(pValue(0, 100_000, 0.5), 1);
  assert.throws(() => pValue(0, 100_001, 0.5), { field: 'trials' });
  for (const chance of [0, 1, 1.5]) assert.throws(() => pValue(1, 2, chance), { field: 'chance' });
  assert.equal(pValue(1, 1, 0.999999), 0.999999);
  for (const alpha of [-0.1, 1.1]) assert.throws(() => minCorrect(3, 0.5, alpha), { field: 'alpha' });
});

test('a probability at a level counts as below it', () => {
  assert.equal(evaluateGuesses(1, 1, 0.05).reading, 'told_apart');
  assert.equal(evaluateGuesses(1, 1, 0.2).reading, 'hint');
  assert.equal(evaluateGuesses(1, 1, 0.3).reading, 'not_shown');
  assert.equal(minCorrect(1, 0.05, 0.05), 1);
  assert.equal(minCorrect(1, 0.3, 0.05), null);
  assert.equal(minCorrect(3, 0.5, 1), 0);
});

test('a very small probability keeps its digits', () => {
  const exact = 6.701717790006296e-162;
  assert.ok(Math.abs(pValue(900, 1000, 0.5) / exact - 1) < 1e-9);
});

// Numbers of the rules: what is no value has no bounds, and points are joined by lines.
import assert from 'node:assert/strict';
import test from 'node:test';
import { inRange, interpolate, number } from '../../static/rules/stats/numbers.js';

test('no value is within any bounds', () => {
  for (const [low, high] of [
    [5, 10],
    [-10, -5],
  ])
    assert.equal(inRange(null, 'a', Number(low), Number(high)), null);
});

test('a bound is named with its field', () => {
  assert.throws(() => inRange(4, 'a', 5, 10), { code: 'too_low', field: 'a' });
  assert.throws(() => inRange(11, 'a', 5, 10), { code: 'too_high', field: 'a' });
  assert.deepEqual([inRange(5, 'a', 5, 10), inRange(10, 'a', 5, 10)], [5, 10]);
});

test('text and infinity are no numbers', () => {
  for (const value of ['3', true, NaN, Infinity])
    assert.throws(() => number(value, 'a'), { code: 'not_number', field: 'a' });
});

test('a value between two points is on their line', () => {
  const points = [
    [0, 1],
    [4, 9],
    [5, 0],
  ];
  assert.deepEqual(
    [-1, 0, 1, 2, 4, 4.5, 6].map((x) => interpolate(points, x)),
    [1, 1, 3, 5, 9, 4.5, 0],
  );
});

// Hidden repeats: a limit needs enough pairs of answers (static/domain/blind/hidden_repeats.js).
import assert from 'node:assert/strict';
import test from 'node:test';
import { repeatLimit } from '../../static/domain/blind/hidden_repeats.js';

/** @param {number} count @param {(number | null)[]} likings @returns {any[][]} */
const pairs = (count, likings) => Array(count).fill(likings.map((liking) => ({ fields: { liking } })));

test('one pair of equal answers gives no limit', () => {
  assert.equal(repeatLimit(pairs(1, [7, 7]), 'liking'), null);
  assert.equal(repeatLimit(pairs(4, [7, 6]), 'liking'), null);
});

test('five repeats give a limit, and pairs with a gap none', () => {
  assert.equal(repeatLimit([...pairs(4, [7, 6]), ...pairs(3, [7, null])], 'liking'), null);
  const found = repeatLimit([...pairs(5, [7, 6]), ...pairs(3, [7, null])], 'liking');
  assert.equal(found?.bottles, 5);
  assert.ok(Math.abs(Number(found?.limit) - 1.96) < 1e-12);
});

// The word of a reason, which never contradicts what the same person is said to like.
import assert from 'node:assert/strict';
import test from 'node:test';
import { levelOf, reasonWord } from '../../static/rules/palate/reason_word.js';

/** @typedef {import('../../static/rules/palate/reason_word.js').IdealPoint} IdealPoint */

/** @param {number} target @param {IdealPoint['shape']} [shape] @returns {IdealPoint} */
const ideal = (target, shape = 'peak') => ({ target, shape });

/** @param {'raises' | 'lowers'} direction @param {number} value @param {IdealPoint} [liked] */
const wordOf = (direction, value, liked) => reasonWord({ what: 'attribute', direction, level: 'usual', value }, liked);

test('a value has one of five levels', () => {
  assert.deepEqual([0, 1.99, 2, 4, 6, 8, 10].map(levelOf), [0, 0, 1, 2, 3, 4, 4]);
});

test('without an ideal point the level is the word', () => {
  assert.equal(wordOf('raises', 7), '3');
  assert.equal(wordOf('lowers', 1, { target: null, shape: 'unknown' }), '0');
  assert.equal(wordOf('lowers', 1, { target: 5, shape: 'unknown' }), '0');
  assert.equal(wordOf('lowers', 1, { target: null, shape: 'peak' }), '0');
});

test('what speaks for a wine agrees with what is liked', () => {
  assert.equal(wordOf('raises', 6, ideal(7.9)), '3');
  assert.equal(wordOf('raises', 5.61, ideal(6.1)), '3');
  assert.equal(wordOf('raises', 5.5, ideal(6)), 'near');
  assert.equal(wordOf('raises', 5.9, ideal(6.9)), 'near');
  assert.equal(wordOf('raises', 8.3, ideal(7.5)), 'near');
  assert.equal(wordOf('raises', 5.9, ideal(7)), null);
});

test('what speaks against a wine is more or less', () => {
  assert.equal(wordOf('lowers', 5.5, ideal(5)), 'more');
  assert.equal(wordOf('lowers', 4.5, ideal(5)), 'less');
  assert.equal(wordOf('lowers', 5.49, ideal(5)), null);
  assert.equal(wordOf('lowers', 4.51, ideal(5)), null);
});

test('where more is better only much speaks for a wine', () => {
  const more = ideal(10, 'more');
  assert.deepEqual([wordOf('raises', 6, more), wordOf('raises', 5.9, more)], ['3', null]);
  assert.deepEqual([wordOf('lowers', 5.9, more), wordOf('lowers', 6, more)], ['less', null]);
  assert.equal(wordOf('raises', 5.9, ideal(6, 'more')), null);
});

test('where less is better only little speaks for a wine', () => {
  const less = ideal(0, 'less');
  assert.deepEqual([wordOf('raises', 3.9, less), wordOf('raises', 4, less)], ['1', null]);
  assert.deepEqual([wordOf('lowers', 4, less), wordOf('lowers', 3.9, less)], ['more', null]);
});

test('the alcohol of a label has its own words', () => {
  const alcohol = /** @type {const} */ ({ what: 'alcohol', level: 'usual', value: 5 });
  assert.equal(reasonWord({ ...alcohol, direction: 'raises' }, ideal(9)), 'usual');
  assert.equal(reasonWord({ ...alcohol, direction: 'lowers' }), 'usual');
  assert.equal(reasonWord({ ...alcohol, direction: 'lowers' }, ideal(2)), 'more');
  assert.equal(reasonWord({ ...alcohol, direction: 'lowers', value: null }), 'usual');
});

test('a reason without its value has no word', () => {
  assert.equal(reasonWord({ what: 'attribute', direction: 'raises', level: 'high' }), null);
});

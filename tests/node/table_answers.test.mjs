// How the answers of a glass are written: the middle, and the values with their names.
import assert from 'node:assert/strict';
import test from 'node:test';
import { middleText, valuesText } from '../../static/domain/table/answers_view.js';
import './english.mjs';

/** @param {number} median @param {number[]} values @returns {any} */
const line = (median, ...values) => ({ median, dots: values.map((value, at) => ({ guest: `g${at}`, value })) });

test('the middle has the halves that a scale has', () => {
  assert.equal(middleText(line(6.5, 6, 6.5, 6.5)), 'middle: 6.5');
  assert.equal(middleText(line(6, 6, 6)), 'middle: 6');
  assert.equal(middleText(line(6.5, 6.5)), '');
});

test('values are not parted by a comma', () => {
  const names = { g0: 'Greta', g1: 'Béa', g2: 'Ada' };
  const named = (/** @type {string} */ id) => names[/** @type {keyof typeof names} */ (id)];
  assert.equal(valuesText(line(6.5, 6, 6.5, 7), named), 'Greta 6 · Béa 6.5 · Ada 7');
  assert.equal(
    valuesText(line(6.5, 6, 7), () => null),
    '6 · 7',
  );
});

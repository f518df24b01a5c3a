// What a triangle test says of chance (static/domain/blind/triangle_store.js).
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { TriangleResult } from '../../static/domain/blind/triangle_store.js';

/** @param {number} correct @param {number} trials */
const said = (correct, trials) => JSON.stringify(TriangleResult({ score: { correct, trials } }));

test('a probability that rounds to nothing is not said to be 0', () => {
  assert.match(said(7, 7), /less than 1 of 100 such tests \(p < 0\.001\)/);
  assert.match(said(3, 3), /4 of 100 such tests \(p = 0\.037\)/);
});

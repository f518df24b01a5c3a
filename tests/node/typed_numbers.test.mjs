// Numbers as people type them: which mark parts thousands, and which decimals.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { groupsThousands } from '../../static/lib/currency_digits.js';
import { parseNumber } from '../../static/lib/format.js';

const asPrice = (/** @type {string} */ text) => parseNumber(text, true);
const asAlcohol = (/** @type {string} */ text) => parseNumber(text);

test('a mark before three digits of a price parts thousands', () => {
  assert.deepEqual(['1,200', '1.200', '12.500', '1 200', "1'200"].map(asPrice), [1200, 1200, 12500, 1200, 1200]);
  assert.deepEqual(['12.5', '12,50', '12.5000', '0.750', '.750'].map(asPrice), [12.5, 12.5, 12.5, 0.75, 0.75]);
});

test('a mark of any other number is the decimal one', () => {
  assert.deepEqual(['13.5', '13,5 %', '13.500', '-2,125', ' '].map(asAlcohol), [13.5, 13.5, 13.5, -2.125, null]);
});

test('two marks are the same in every field', () => {
  for (const read of [asPrice, asAlcohol]) {
    assert.deepEqual(['1.200,50', '1,200.50', '1,200,000', '1.200.000,'].map(read), [1200.5, 1200.5, 1200000, 1200000]);
    assert.deepEqual(['1.2.3', '12.34,5', '1,200.5.6', '1,20.', '-', 'x'].map(read), Array(6).fill(NaN));
  }
});

test('a currency with thousandths has three decimals', () => {
  assert.deepEqual(['EUR', 'JPY', null, 'TND', 'JOD'].map(groupsThousands), [true, true, true, false, false]);
});

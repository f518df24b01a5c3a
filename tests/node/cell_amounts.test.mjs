// Amounts and currencies of an imported list.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { currencyOf, parseAmount } from '../../static/features/shelf/import/cell_amounts.js';

test('a mark before three digits parts the thousands', () => {
  const read = (/** @type {string} */ cell) => parseAmount(cell);
  assert.deepEqual(['£1,250', '1.250 €', "CHF 1'250", '1.250.000'].map(read), [1250, 1250, 1250, 1250000]);
  assert.deepEqual(['1.250,50', '1,250.50', '1,25,000'].map(read), [1250.5, 1250.5, 125000]);
  assert.deepEqual(['14€95', '14 € 20', '28 euros 50', '1.250 euro'].map(read), [14.95, 14.2, 28.5, 1250]);
  assert.deepEqual(['13,5°', '13°5', '13 degrés'].map(read), [13.5, 13.5, 13]);
  assert.deepEqual(['12,50', '9.5', '0.750', '14,5 % vol'].map(read), [12.5, 9.5, 0.75, 14.5]);
});

test('a dollar sign gives the usual currency only if it is one', () => {
  assert.equal(currencyOf('$25', 'EUR'), null);
  assert.equal(currencyOf('$25', null), null);
  assert.equal(currencyOf('$25', 'CAD'), 'CAD');
  assert.equal(currencyOf('USD 25', 'EUR'), 'USD');
  assert.equal(currencyOf('25', 'EUR'), 'EUR');
  assert.equal(currencyOf('25 euros', 'CHF'), 'EUR');
  assert.equal(currencyOf('fr. 25', 'EUR'), 'CHF');
  assert.equal(currencyOf('£25', 'EUR'), 'GBP');
});

test('kronor are the usual ones, or of no known currency', () => {
  for (const currency of ['SEK', 'NOK', 'DKK']) assert.equal(currencyOf('450 kr', currency), currency);
  assert.equal(currencyOf('kr. 450', 'EUR'), null);
  assert.equal(currencyOf('450 kr', null, 'EUR'), null);
});

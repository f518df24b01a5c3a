// The price of a bottle in a list that has those of a glass and a carafe too.
import assert from 'node:assert/strict';
import test from 'node:test';
import { listRows, listText } from '../../static/rules/label_text/list.js';
import { read, row } from './pasted_rows.mjs';

const THIS_YEAR = 2026;

/** @param {string} text @returns {unknown[][]} name, price and glass of each row of a photo */
const photographed = (text) => {
  const lines = text.split('\n').map((each, at) => ({
    text: each,
    confidence: 0.9,
    box: { x: 0, y: at * 40, width: 400, height: 20 },
  }));
  return listRows(lines, THIS_YEAR).map(({ name, price, glass }) => [name, price, glass]);
};

test('of a glass, a carafe and a bottle the last is read', () => {
  for (const [prices, currency] of [
    ['£9 £24 £36', 'GBP'],
    ['175ml £9 carafe £24 bottle £36', 'GBP'],
    ['bottle £36 carafe 500ml £24 glass £9', 'GBP'],
    ['175ml £9.00 500ml £24.00 750ml £36.00', 'GBP'],
    ['£9.00 glass £24.00 carafe £36.00 bottle', 'GBP'],
    ['glass £9 magnum £80 bottle £36', 'GBP'],
    ['£9 glass, £36 bottle', 'GBP'],
    ['verre 9 € carafe 50 cl 24 € bouteille 36 €', 'EUR'],
    ['9 € le verre, 24 € la carafe, 36 € la bouteille', 'EUR'],
    ['calice 9 € caraffa 24 € bottiglia 36 €', 'EUR'],
  ]) {
    const expected = [row('Pale Ledge', { vintage: 2019, price: 36, currency })];
    assert.deepEqual(read(`Pale Ledge 2019 ${prices}`), expected, prices);
    assert.deepEqual(photographed(`Pale Ledge 2019 ${prices}`), [['Pale Ledge', 36, 9]], prices);
  }
});

test('a column headed by the bottle is its price', () => {
  for (const [headings, words] of [
    ['Wine;Glass;Bottle', 'Glass: 9'],
    ['Wine;175ml;750ml', '175ml: 9'],
    ['Vin;Verre;Bouteille', 'Verre: 9'],
    ['Vin;Prix verre;Prix bouteille', 'Prix verre: 9'],
    ['Vino;Calice;Bottiglia', 'Calice: 9'],
  ])
    assert.deepEqual(read(`${headings}\nPale Ledge;9;36`), [row('Pale Ledge', { price: 36, words })], headings);
  assert.deepEqual(read('Wine;Bottle;Price\nPale Ledge;75 cl;36'), [
    row('Pale Ledge', { price: 36, words: 'Bottle: 75 cl' }),
  ]);
});

test('a line that only names glass and bottle is no wine', () => {
  for (const heading of ['Glass Carafe Bottle', '125ml 175ml Bottle', 'Vin   Verre   Bouteille'])
    assert.deepEqual(
      read(`${heading}\nPale Ledge 2019 6.00 9.00 36.00`),
      [row('Pale Ledge', { vintage: 2019, price: 36 })],
      heading,
    );
});

test('a glass and a bottle may have lines below their wine', () => {
  assert.deepEqual(read('Pale Ledge 2019\nGlass £9\nBottle £36\nLoud Ledge £30'), [
    row('Pale Ledge', { vintage: 2019, price: 36, currency: 'GBP' }),
    row('Loud Ledge', { price: 30, currency: 'GBP' }),
  ]);
});

test('the price of a carafe alone is that of its row', () => {
  assert.deepEqual(read('House Red carafe £24'), [row('House Red carafe', { price: 24, currency: 'GBP' })]);
  assert.deepEqual(photographed('House Red carafe 50 cl 9 €'), [['House Red carafe 50 cl', 9, null]]);
  assert.deepEqual(photographed('House Red glass 4 € carafe 50 cl 9 €'), [['House Red', 9, 4]]);
});

test('wines photographed with prices of a litre are imported', () => {
  const lines = ['House red 18 €/l', 'House white 16 €/l'].map((text, at) => ({
    text,
    confidence: 0.9,
    box: { x: 0, y: at * 40, width: 400, height: 20 },
  }));
  assert.deepEqual(read(listText(listRows(lines, THIS_YEAR))), [row('House red', {}), row('House white', {})]);
});

// The price of a reduced bottle in a list.
import assert from 'node:assert/strict';
import test from 'node:test';
import { rowOf } from '../../static/rules/label_text/list.js';
import { read, row } from './pasted_rows.mjs';

const THIS_YEAR = 2026;

test('of an earlier price and the one now, the latter is read', () => {
  for (const [price, currency] of [
    ['was £50 now £45', 'GBP'],
    ['was £50, now £45', 'GBP'],
    ['Was £50.00 Now £45.00', 'GBP'],
    ['was 50 now £45', 'GBP'],
    ['£50 now £45', 'GBP'],
    ['now £45 (was £50)', 'GBP'],
    ['offer £45 RRP £50', 'GBP'],
    ['£50 £45 offer', 'GBP'],
    ['50 € → 45 €', 'EUR'],
    ['45 € au lieu de 50 €', 'EUR'],
    ['au lieu de 50 € 45 €', 'EUR'],
    ['avant 50 € maintenant 45 €', 'EUR'],
    ['45 € anziché 50 €', 'EUR'],
    ['anziché 50 € 45 €', 'EUR'],
    ['45 € invece di 50 €', 'EUR'],
    ['prima 50 € ora 45 €', 'EUR'],
  ]) {
    const expected = [row('Pale Ledge', { vintage: 2019, price: 45, currency })];
    for (const text of [`Pale Ledge 2019 ${price}`, `Pale Ledge;2019;${price}`, `Name;Price\nPale Ledge 2019;${price}`])
      assert.deepEqual(read(text), expected, text);
    const { name, price: photographed, glass } = rowOf(`Pale Ledge 2019 ${price}`, THIS_YEAR, false) ?? {};
    assert.deepEqual([name, photographed, glass], ['Pale Ledge', 45, null], price);
  }
});

test('a reduction below its bottle is the price of that', () => {
  const expected = [
    row('Pale Ledge', { vintage: 2019, price: 45, currency: 'GBP' }),
    row('Loud Ledge', { price: 9, currency: 'GBP' }),
  ];
  for (const price of ['was £50 now £45', 'was £50\nnow £45', '£50\nnow £45'])
    assert.deepEqual(read(`Pale Ledge 2019\n${price}\nLoud Ledge £9`), expected, price);
});

test('words of a reduction in a name are of the name', () => {
  for (const name of ['Quiet Now', 'Vigna Prima', 'Here It Was', 'Dolce Ora'])
    assert.deepEqual(read(`${name} 2019 £50`), [row(name, { vintage: 2019, price: 50, currency: 'GBP' })], name);
  assert.deepEqual(read('Vigna Prima 9 € 45 €'), [row('Vigna Prima', { price: 45, currency: 'EUR' })]);
  assert.deepEqual(read('Pale Ledge £36 £9 offer')[0]?.[3], 36);
});

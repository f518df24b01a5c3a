// The number of bottles in a list, which is neither a name nor a price.
import assert from 'node:assert/strict';
import test from 'node:test';
import { listRows } from '../../static/rules/label_text/list.js';
import { read, row } from './pasted_rows.mjs';

const THIS_YEAR = 2026;

test('a number of bottles before a name is kept as a comment', () => {
  const expected = (/** @type {string} */ words) => [
    row('Pale Ledge', { vintage: 2019, price: 12, currency: 'GBP', words }),
  ];
  for (const count of ['6', '6 x', '6x', '12 ×'])
    assert.deepEqual(read(`${count}  Pale Ledge 2019  £12`), expected(count), count);
  for (const count of ['6 x', '6x', '12 ×']) assert.deepEqual(read(`${count} Pale Ledge 2019 £12`), expected(count));
  const lines = ['6 Pale Ledge £12', '3 Loud Ledge £14', '12 Grey Ledge £9'];
  assert.deepEqual(
    read(lines.join('\n')).map(([name, , , price, , words]) => [name, price, words]),
    [
      ['Pale Ledge', 12, '6'],
      ['Loud Ledge', 14, '3'],
      ['Grey Ledge', 9, '12'],
    ],
  );
});

test('a photo of a list has no number of bottles in its names', () => {
  const box = { x: 0, y: 0, width: 20, height: 20 };
  for (const texts of [['6', 'Pale Ledge 2019', '£12'], ['6 x Pale Ledge 2019 £12']]) {
    const lines = texts.map((text, at) => ({ text, confidence: 0.9, box: { ...box, x: at * 100 } }));
    const [found] = listRows(lines, THIS_YEAR);
    assert.deepEqual([found?.name, found?.price], ['Pale Ledge', 12]);
  }
});

test('a column of numbers of bottles is no price', () => {
  const expected = [
    row('Pale Ledge', { vintage: 2019, price: 12, words: '6' }),
    row('Loud Ledge', { vintage: 2018, price: 14, words: '3' }),
  ];
  const written = ['6;Pale Ledge;2019;12\n3;Loud Ledge;2018;14', 'Pale Ledge;2019;6;12.00\nLoud Ledge;2018;3;14.00'];
  for (const text of written) assert.deepEqual(read(text), expected, text);
  const signed = ['6;Pale Ledge;2019;£12\n3;Loud Ledge;2018;£14', 'Pale Ledge;2019;6;£12\nLoud Ledge;2018;3;£14'];
  for (const text of signed)
    assert.deepEqual(
      read(text).map(([name, , , price, , words]) => [name, price, words]),
      [
        ['Pale Ledge', 12, '6'],
        ['Loud Ledge', 14, '3'],
      ],
      text,
    );
});

test('a number that begins one name of several is of it', () => {
  assert.deepEqual(
    read('12 Ledges 2019 £12\nLoud Ledge £9\nGrey Ledge £8').map(([name]) => name),
    ['12 Ledges', 'Loud Ledge', 'Grey Ledge'],
  );
  assert.deepEqual(read('45;Pale Ledge;13'), [row('Pale Ledge', { abv: 13, price: 45 })]);
});

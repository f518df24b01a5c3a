// Reads pasted lists without columns.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import './environment.mjs';
import { readPlainLines } from '../../static/features/shelf/import/plain_lines.js';

const cells = (/** @type {string} */ text) => readPlainLines(text, 2026)?.lines.map((line) => line.cells);

test('figures between the words of a line are read', () => {
  assert.deepEqual(
    cells(
      [
        'Chianti Classico Poggio Alto 2021 13.5% 14.90',
        '2. Zinfandel Old Creek 2020 15.5% 17',
        '- Muscadet La Plage 2022 12% 9,50',
        'Rioja Crianza Torre 2019, 14%, 11 EUR',
      ].join('\n'),
    ),
    [
      ['Chianti Classico Poggio Alto', '2021', '13.5', '14.9'],
      ['Zinfandel Old Creek', '2020', '15.5', '17'],
      ['Muscadet La Plage', '2022', '12', '9.5'],
      ['Rioja Crianza Torre', '2019', '14', '11 EUR'],
    ],
  );
});

test('figures of unusual wines are read', () => {
  assert.deepEqual(
    cells(
      [
        'Port 20 Years Old 20% 45 €',
        'Moscato 0% 5 €',
        'Stone Ledge NV 150 €',
        'Quiet Ledge N.M. 12,5% vol 9,50',
        'Lot 389 2019 89 €',
        'Loud Ledge 2018 - 45 €',
      ].join('\n'),
    ),
    [
      ['Port 20 Years Old', '', '20', '45 €'],
      ['Moscato', '', '0', '5 €'],
      ['Stone Ledge', 'NV', '', '150 €'],
      ['Quiet Ledge', 'NM', '12.5', '9.5'],
      ['Lot 389', '2019', '', '89 €'],
      ['Loud Ledge', '2018', '', '45 €'],
    ],
  );
});

test('a range is left whole, as neither end is the value', () => {
  assert.deepEqual(cells('Pinot 13.5-14.5% 20 €\nChianti Classico 20-25 €'), [
    ['Pinot', '', '13.5-14.5%', '20 €'],
    ['Chianti Classico', '', '', '20-25 €'],
  ]);
});

test('parts of a blend are no alcohol', () => {
  assert.deepEqual(cells('Ledge 85% Merlot 15% Syrah 30 €\nLedge 20% Syrah 13 €'), [
    ['Ledge 85% Merlot 15% Syrah', '', '', '30 €'],
    ['Ledge 20% Syrah', '', '', '13 €'],
  ]);
});

test('a comma in each name makes no columns', () => {
  assert.deepEqual(cells('Chianti, Poggio 2021 13.5% 14.90\nBarbera, Colle 2020 14% 12.00'), [
    ['Chianti, Poggio', '2021', '13.5', '14.9'],
    ['Barbera, Colle', '2020', '14', '12'],
  ]);
});

test('a number at the end is a price only if most lines have one', () => {
  assert.deepEqual(cells('Quiet Ledge 7\nLoud Ledge'), [['Quiet Ledge 7'], ['Loud Ledge']]);
  assert.deepEqual(cells('Quiet Ledge 7\nLoud Ledge 9'), [
    ['Quiet Ledge', '', '', '7'],
    ['Loud Ledge', '', '', '9'],
  ]);
});

test('a text with columns is left to the table reader', () => {
  assert.equal(cells('Left Ledge\tRight Estate\t13\t9\n'), undefined);
  assert.equal(cells('name,alcohol,price\nPale Ledge,12.5,11\n,13,8'), undefined);
  assert.equal(cells('Rioja Torre,14%,11 EUR'), undefined);
  assert.equal(cells('Pale Ledge;12,5 %;11,90'), undefined);
});

test('a discount is no alcohol', () => {
  assert.deepEqual(cells('Pale Ledge 2018 -20% 45 €\nLoud Ledge 2019 14% -15% 9 €\nStone Ledge -14,5% 8 €'), [
    ['Pale Ledge', '2018', '', '45 €', '-20%'],
    ['Loud Ledge', '2019', '14', '9 €', '-15%'],
    ['Stone Ledge', '', '14.5', '8 €'],
  ]);
});

test('figures on lines of their own go to the bottle above', () => {
  const page = 'Pale Ledge 2018\n\n14,5 % vol. | 0,75 l\n45,00 €\n(60,00 €/l)\n\nLoud Ledge\n£18\n£17';
  const read = readPlainLines(page, 2026)?.lines;
  assert.deepEqual(
    read?.map(({ line }) => line),
    [1, 7, 9],
  );
  assert.deepEqual(cells(page), [['Pale Ledge', '2018', '14.5', '45 €'], ['Loud Ledge', '', '', '18 £'], ['£17']]);
});

test('a price with a word for one bottle goes to the one above', () => {
  const expected = [
    ['Pale Ledge', '2019', '', '45 €'],
    ['Loud Ledge', '', '', '30 €'],
  ];
  for (const word of ['each', 'ea.', '/ bottle', 'la bouteille', 'la pièce', "l'una", 'cad.', 'alla bottiglia'])
    assert.deepEqual(cells(`Pale Ledge 2019\n75 cl\n45 € ${word}\nLoud Ledge\n30,00 € ${word}`), expected, word);
  assert.deepEqual(cells('Pale Ledge 2019\nEach Ledge 45 €')?.length, 2);
});

test('figures above their bottles stay where they are', () => {
  assert.equal(cells('13%\nPale Ledge 2018\n14%\nLoud Ledge')?.length, 4);
});

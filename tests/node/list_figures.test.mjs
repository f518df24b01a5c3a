// The figures in the lines of a pasted list: contents, prices and degrees.
import assert from 'node:assert/strict';
import test from 'node:test';
import { read, row } from './pasted_rows.mjs';

test('what a bottle holds is not its price', () => {
  const expected = [row('Franciacorta Esempio', { abv: 12.5, price: 28, currency: 'EUR' })];
  for (const size of ['cl 75', 'cl. 75', '75 cl', '0,75', '0.75', '0,75 l', '0,75 lt', 'l 0,75', 'lt 0,75', 'ml 750'])
    assert.deepEqual(read(`Franciacorta Esempio 12,5% vol ${size} € 28,00`), expected, size);
  for (const [size, kept] of [
    ['cl 37,5', '37,5 cl'],
    ['cl 150', '150 cl'],
    ['1,5', '1,5 l'],
    ['1,50 l', '1,50 l'],
  ])
    assert.deepEqual(read(`Esempio ${size} € 60,00`), [row(`Esempio ${kept}`, { price: 60, currency: 'EUR' })], size);
  assert.deepEqual(read('Esempio 1,50 €'), [row('Esempio', { price: 1.5, currency: 'EUR' })]);
});

test('the sign of a price belongs to no number before it', () => {
  for (const price of ['€ 95,00', '€95', '€95,00'])
    assert.deepEqual(read(`Lot 389 ${price}`), [row('Lot 389', { price: 95, currency: 'EUR' })], price);
  assert.deepEqual(read('Fixin 9,50 € 45,00'), [row('Fixin', { price: 45, currency: 'EUR' })]);
  assert.deepEqual(read('Fixin 7 € 36'), [row('Fixin', { price: 36, currency: 'EUR' })]);
});

test('the cents may stand behind the sign', () => {
  const muscat = (/** @type {number} */ price) => [row('Muscat Fictif', { abv: 15.5, price, currency: 'EUR' })];
  for (const price of ['14€95', '14 € 95', '14€ 95'])
    assert.deepEqual(read(`Muscat Fictif 15,5 % vol ${price}`), muscat(14.95), price);
  assert.deepEqual(read('Muscat Fictif 15,5 % vol 112€20'), muscat(112.2));
  assert.deepEqual(read('Fixin 14€95 - 75 cl'), [row('Fixin', { price: 14.95, currency: 'EUR' })]);
});

test('degrees beside a name are the alcohol', () => {
  const cahors = (/** @type {number} */ abv) => [row('Cahors Fictif', { abv, price: 12, currency: 'EUR' })];
  for (const written of ['13,5°', '13.5 °', '13°5', 'Alc. 13,5°', 'alcool 13,5°', '13,5 gradi', '13,5° vol'])
    for (const parted of [' ', ';'])
      assert.deepEqual(read(`Cahors Fictif${parted}${written}${parted}12 €`), cahors(13.5), written + parted);
  for (const written of ['14°', '14 gradi', '14 degrés', "14 degrés d'alcool", '14 gradi alcolici', '- 14° -', '14°,'])
    assert.deepEqual(read(`Cahors Fictif ${written} 12 €`), cahors(14), written);
  assert.deepEqual(read('Cahors Fictif 12 € 14°'), cahors(14));
});

test('degrees of a temperature or of a number are no alcohol', () => {
  for (const written of ['servire a 14°', 'servir à 14-16°', '16°-18°', '14 °C', '14° C', 'température 14°', '36°'])
    assert.equal(read(`Cahors ${written} 12 €`)[0]?.[2], undefined, written);
  for (const name of ['Cahors 10° anniversario', 'Cahors 1° Cru', 'Cahors N°5'])
    assert.deepEqual(read(`${name} 12 €`), [row(name, { price: 12, currency: 'EUR' })]);
  assert.deepEqual(read('Cahors servire a 16° 13,5% vol 12 €')[0]?.[2], 13.5);
});

test('words for one bottle behind the price are no name', () => {
  const words = [
    'la bouteille',
    'alla bottiglia',
    'a bottiglia',
    'per bottle',
    'each',
    '/bouteille',
    'la pièce',
    "l'una",
  ];
  for (const word of words)
    for (const price of ['12,00€', '€ 12'])
      assert.deepEqual(
        read(`Cahors Fictif ${price} ${word}`),
        [row('Cahors Fictif', { price: 12, currency: 'EUR' })],
        word,
      );
  assert.deepEqual(read('Cahors 9 € au verre'), [row('Cahors', { price: 9, currency: 'EUR' })]);
  assert.deepEqual(read('Each Ledge 12 €'), [row('Each Ledge', { price: 12, currency: 'EUR' })]);
});

test('a price without a currency has that of its list', () => {
  const currencies = (/** @type {string} */ text, usual = 'GBP') => read(text, usual).map((each) => each[4]);
  assert.deepEqual(currencies('Fixin 24.50 €\nCahors 13.90\nRully EUR 18.00'), ['EUR', 'EUR', 'EUR']);
  assert.deepEqual(currencies('name;price\nFixin;24.50 €\nCahors;13.90'), ['EUR', 'EUR']);
  assert.deepEqual(currencies('Fixin 24.50 €\nCahors 13.90\nRully CHF 18.00'), ['EUR', undefined, 'CHF']);
  assert.deepEqual(currencies('Fixin 24.50\nCahors 13.90'), ['GBP', 'GBP']);
  assert.deepEqual(currencies('Fixin $24.50\nCahors 13.90'), [undefined, undefined]);
  assert.deepEqual(currencies('Fixin $24.50\nCahors 13.90', 'CAD'), ['CAD', 'CAD']);
});

test('a second price for some people is no part of the name', () => {
  for (const [line, price] of /** @type {[string, number][]} */ ([
    ['Côtes du Rhône 2022 75cl £9.00 with card £7.50', 9],
    ['Côtes du Rhône 2022 £9.00 (with card £7.50)', 9],
    ['Côtes du Rhône 2022 £7.50 was £9.00', 7.5],
  ]))
    assert.deepEqual(read(line), [row('Côtes du Rhône', { vintage: 2022, price, currency: 'GBP' })], line);
});

test('amounts in kronor, zloty, koruny and forints are prices', () => {
  for (const [written, price, currency] of /** @type {[string, number, string][]} */ ([
    ['450 kr', 450, 'SEK'],
    ['kr 450', 450, 'SEK'],
    ['450,00 kr.', 450, 'SEK'],
    ['1 250 kr', 1250, 'SEK'],
    ['DKK 450', 450, 'DKK'],
    ['89 zł', 89, 'PLN'],
    ['89,99 zł', 89.99, 'PLN'],
    ['490 Kč', 490, 'CZK'],
    ['4 500 Ft', 4500, 'HUF'],
    ['12 500 Ft', 12500, 'HUF'],
  ]))
    for (const parted of [' ', ';', '\t'])
      assert.deepEqual(
        read(`Pale Ledge 2019${parted}${written}`, 'SEK'),
        [row('Pale Ledge', { vintage: 2019, price, currency })],
        written + parted,
      );
});

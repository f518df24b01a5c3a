// A pasted list, read into rows: which column is what, and the figures between the words.
import assert from 'node:assert/strict';
import test from 'node:test';
import { read, row } from './pasted_rows.mjs';

test('the price of a litre is not that of the bottle', () => {
  const pounds = row('Champagne Brut', { price: 39.99, currency: 'GBP' });
  for (const text of [
    'Champagne Brut 75cl £39.99 (£53.32/l)',
    'Champagne Brut £39.99 (75cl, £53.32/l)',
    'Champagne Brut (£53.32 per litre) £39.99',
    'Champagne Brut £39.99 £53.32/ltr',
    'Champagne Brut £39.99 £5.33/100ml',
    'Champagne Brut £39.99 533p per 100ml',
  ])
    assert.deepEqual(read(text), [pounds], text);
  const euros = row('Riesling', { price: 12.99, currency: 'EUR' });
  for (const text of [
    'Riesling 12,99 € (17,32 €/l)',
    'Riesling 12,99 € 17,32 € pro Liter',
    'Riesling 12,99 € 17,32/l',
    'Riesling 12,99 € (1 l = 17,32 €)',
    'Riesling € 12,99 (€ 17,32 al litro)',
    'Riesling 12,99 € soit 17,32 € le litre',
    'Riesling;12,99 € (17,32 €/l)',
    'Riesling\t12,99 €\t(17,32 €/l)',
    'name;price per litre;price\nRiesling;17,32 €/l;12,99 €',
  ])
    assert.deepEqual(read(text), [euros], text);
});

test('the price of a litre alone stays as it was written', () => {
  const kept = (/** @type {string} */ words) => [row('House red', { currency: 'EUR', words: `Price: ${words}` })];
  for (const words of ['€18/l', '18 €/l', '18 € le litre', '€ 18 al litro', '1 l = 18 €', '18 EUR per litre'])
    for (const text of [`House red ${words}`, `House red;${words}`, `name;price\nHouse red;${words}`])
      assert.deepEqual(read(text), kept(words), text);
  assert.deepEqual(read('House red 2022 13% (18 €/l)\nChablis 45 €'), [
    row('House red', { vintage: 2022, abv: 13, currency: 'EUR', words: 'Price: (18 €/l)' }),
    row('Chablis', { price: 45, currency: 'EUR' }),
  ]);
});

test('the price of a litre becomes that of a known carafe', () => {
  for (const text of ['House red 50 cl €18/l', 'House red 5 dl 18 €/l', 'House red 0,5 l, 1,80 €/100 ml'])
    assert.deepEqual(
      read(text).map(([, , , price, currency]) => [price, currency]),
      [[9, 'EUR']],
      text,
    );
  assert.equal(read('House red 25cl 50cl €18/l')[0]?.[3], undefined);
});

test('what only looks like the price of a litre is left', () => {
  assert.deepEqual(read('Riesling 8 g/l 12,50 €'), [row('Riesling 8 g/l', { price: 12.5, currency: 'EUR' })]);
  assert.deepEqual(read("Chablis 45 € / L'Orme"), [row("Chablis L'Orme", { price: 45, currency: 'EUR' })]);
});

test('a lone column of whole numbers is the price', () => {
  const expected = [row('Chablis', { price: 15 }), row('Sancerre', { price: 18 }), row('Muscadet', { price: 9 })];
  assert.deepEqual(read('Chablis;15\nSancerre;18\nMuscadet;9'), expected);
  assert.deepEqual(read('Chablis 15\nSancerre 18\nMuscadet 9'), expected);
  assert.deepEqual(read('Chablis;13.5\nSancerre;13'), [row('Chablis', { abv: 13.5 }), row('Sancerre', { abv: 13 })]);
  assert.deepEqual(read('Chablis;13;45 €'), [row('Chablis', { abv: 13, price: 45, currency: 'EUR' })]);
});

test('a column with cents is the price', () => {
  assert.deepEqual(read('Chablis;9.50\nFixin;12,00\nMacon;8.50'), [
    row('Chablis', { price: 9.5 }),
    row('Fixin', { price: 12 }),
    row('Macon', { price: 8.5 }),
  ]);
  const expected = [row('Chablis', { abv: 12.5, price: 15 }), row('Fixin', { abv: 13, price: 9.5 })];
  for (const text of ['Chablis;15.00;12.5\nFixin;9.50;13', 'Chablis;12.5;15.00\nFixin;13;9.50'])
    assert.deepEqual(read(text), expected, text);
  assert.deepEqual(read('Chablis;12.50;15.00\nFixin;13.00;9.50'), expected, 'of two columns the first is the alcohol');
});

test('of two columns the one with halves is the alcohol', () => {
  const expected = [row('Chablis', { abv: 13.5, price: 15 }), row('Sancerre', { abv: 13, price: 18 })];
  for (const text of ['Chablis;15;13.5\nSancerre;18;13', 'Chablis;13.5;15\nSancerre;13;18'])
    assert.deepEqual(read(text), expected, text);
  const more = read('Chablis;13;6;45 €');
  assert.deepEqual(more, [row('Chablis', { abv: 13, price: 45, currency: 'EUR', words: '6' })]);
});

test('the second column of small numbers is the price', () => {
  assert.deepEqual(read('Chablis\t12.5\t15'), [row('Chablis', { abv: 12.5, price: 15 })]);
  assert.deepEqual(read('Chablis\t15\t13%'), [row('Chablis', { abv: 13, price: 15 })]);
  assert.deepEqual(read('Chablis\t13%\t15.50'), [row('Chablis', { abv: 13, price: 15.5 })]);
  assert.deepEqual(read('Chablis\t12\t15\t6'), [row('Chablis', { abv: 12, price: 15, words: '6' })]);
});

test('headings of the alcohol are known in each language', () => {
  const headings = [
    'Degré',
    'Degrés',
    "Degré d'alcool",
    'Grado alcolico',
    'Gradi',
    'Gradazione',
    'Titolo alcolometrico',
  ];
  for (const heading of [...headings, 'Titre alcoométrique', 'Alc.', '% vol', 'Vol.'])
    for (const cell of ['13 % vol', '13', '13°', '13 gradi', '13 degrés'])
      assert.deepEqual(
        read(`Nom;Millésime;${heading};Prix\nCahors;2019;${cell};12`),
        [row('Cahors', { vintage: 2019, abv: 13, price: 12 })],
        `${heading} ${cell}`,
      );
  assert.deepEqual(read('Nom;Degré;Prix\nCahors;13°5;12'), [row('Cahors', { abv: 13.5, price: 12 })]);
});

test('cells that state the alcohol need no heading for it', () => {
  const expected = [row('Cahors', { abv: 13, price: 12 }), row('Fixin', { abv: 12.5, price: 9 })];
  assert.deepEqual(read('Nom;Force;Prix\nCahors;13 % vol;12\nFixin;alc. 12,5 %;9'), expected);
  const kept = (/** @type {string} */ words) => [row('Cahors', { price: 12, words })];
  assert.deepEqual(read('Nom;Remise;Prix\nCahors;13 %;12'), kept('Remise: 13 %'));
  assert.deepEqual(read('Nom;Raisin;Prix\nCahors;85 % Malbec;12'), kept('Raisin: 85 % Malbec'));
  assert.deepEqual(read('Nom;Force;Alcool;Prix\nCahors;14 % vol;13;12'), [
    row('Cahors', { abv: 13, price: 12, words: 'Force: 14 % vol' }),
  ]);
});

test('a price in a cell may have its currency as a word', () => {
  const expected = [row('Barolo', { price: 28, currency: 'EUR' })];
  for (const cell of ['28 euro', '28 euros', '28 EUR', '28 eur', 'Euro 28', '28euro', '28,00 Euro'])
    assert.deepEqual(read(`Nome;Prezzo\nBarolo;${cell}`), expected, cell);
  assert.deepEqual(read('Barolo;14;28 euro'), [row('Barolo', { abv: 14, price: 28, currency: 'EUR' })]);
});

test('names with "vol" and parts of a blend are no alcohol', () => {
  assert.deepEqual(read('Volnay\t2018\t13 %\t25\nVolnay Santenots\t2019\t13.5 vol\t45'), [
    row('Volnay', { vintage: 2018, abv: 13, price: 25 }),
    row('Volnay Santenots', { vintage: 2019, abv: 13.5, price: 45 }),
  ]);
  assert.deepEqual(read('Fixin\t85% Merlot\t13\t25'), [row('Fixin', { abv: 13, price: 25, words: '85% Merlot' })]);
});

test('the words beside an alcohol make no price of it', () => {
  const expected = [row('Chablis', { abv: 13 }), row('Fixin', { abv: 12 })];
  for (const word of ['ABV', 'abv', 'by vol', 'vol.', 'TAV', 'grad.', 'gradi', 'alc. by volume', 'alcool', 'Alkohol'])
    for (const parted of [';', ', ', '\t', ' '])
      assert.deepEqual(read(`Chablis${parted}13% ${word}\nFixin${parted}12% ${word}`), expected, word + parted);
  assert.deepEqual(read('Chablis\t13% ABV\t750ml\nFixin\t12% ABV\t750ml'), [
    row('Chablis', { abv: 13, words: '750ml' }),
    row('Fixin', { abv: 12, words: '750ml' }),
  ]);
  const priced = [row('Chablis', { abv: 12, price: 15 }), row('Fixin', { abv: 13, price: 18 })];
  assert.deepEqual(read('Chablis;15;12% ABV\nFixin;18;13% ABV'), priced);
  assert.deepEqual(read('Chablis;12% grad.;15\nFixin;13% grad.;18'), priced);
  for (const parted of [';', ' '])
    assert.deepEqual(read(`Chablis${parted}ABV 13%${parted}£15`), [
      row('Chablis', { abv: 13, price: 15, currency: 'GBP' }),
    ]);
});

test('a name that begins like a word of alcohol is a name', () => {
  const expected = [row('Volnay', { abv: 13, price: 25 }), row('Alcamo', { abv: 12, price: 30 })];
  for (const parted of [' ', ';', ' | '])
    assert.deepEqual(read(`Volnay 13%${parted}25\nAlcamo 12%${parted}30`), expected, parted);
  for (const name of ['Alcorta Crianza', 'Rhu di Alcohuaz', 'Volume 2 Grenache', 'Tav 10 Years', 'Grad. Riesling'])
    assert.deepEqual(read(`${name} 12.5% vol. 18`), [row(name, { abv: 12.5, price: 18 })], name);
});

test('a dash may stand in the place of the cents', () => {
  const both = [row('Chablis', { price: 15, currency: 'EUR' }), row('Fixin', { price: 20, currency: 'EUR' })];
  for (const dash of ['- €', '-- €', '- EUR'])
    assert.deepEqual(read(`Chablis,15,${dash}\nFixin,20,${dash}`), both, dash);
  for (const written of ['25.-', '25.–', '25,-', '25.--'])
    for (const text of [`Chablis 2020 ${written}`, `Chablis;2020;${written}`])
      assert.deepEqual(read(text), [row('Chablis', { vintage: 2020, price: 25 })], text);
  for (const written of ['CHF 25.-', 'Fr. 25.–', '25.- CHF'])
    for (const text of [`Chablis 2020 ${written}`, `Chablis;2020;${written}`])
      assert.deepEqual(read(text), [row('Chablis', { vintage: 2020, price: 25, currency: 'CHF' })], text);
  assert.deepEqual(read("Chablis 1'250.-\nFixin 18.-"), [row('Chablis', { price: 1250 }), row('Fixin', { price: 18 })]);
  assert.deepEqual(read('Chablis;5.-\nFixin;18.-'), [row('Chablis', { price: 5 }), row('Fixin', { price: 18 })]);
  assert.deepEqual(read('Quiet Ledge 7.-\nLoud Ledge\nPale Ledge'), [
    row('Quiet Ledge', { price: 7 }),
    row('Loud Ledge', {}),
    row('Pale Ledge', {}),
  ]);
});

test('a dash alone in its column is a missing value', () => {
  const expected = [row('Chablis', { vintage: 2020, price: 15 }), row('Fixin', { vintage: 2019, abv: 13, price: 20 })];
  const cells = 'name,vintage,alcohol,price\nChablis,2020,-,15\nFixin,2019,13,20';
  for (const text of [cells, cells.replaceAll(',', '\t'), cells.replaceAll(',', ', '), cells.replace('-', '–')])
    assert.deepEqual(read(text), expected, text);
  assert.deepEqual(read('name,alcohol,price\nChablis,13,-'), [row('Chablis', { abv: 13 })]);
  assert.deepEqual(read('name;price\n-;15'), []);
});

test('a dash for the cents may follow a comma of a list', () => {
  const expected = [row('Chablis', { vintage: 2020, price: 15 }), row('Fixin', { vintage: 2019, price: 13 })];
  for (const text of ['Chablis, 2020, 15,-\nFixin, 2019, 13,-', 'Chablis;2020;15,-\nFixin;2019;13,-'])
    assert.deepEqual(read(text), expected, text);
  assert.deepEqual(read('Chablis;12,5;25,-'), [row('Chablis', { abv: 12.5, price: 25 })]);
});

test('the vintage leaves a name with columns beside it', () => {
  const expected = [row('Meursault', { vintage: 2020, abv: 13, price: 45, currency: 'EUR' })];
  for (const text of ['Meursault 2020, 13%, 45 €', 'Meursault 2020 13% 45 €', 'Meursault (2020) 13% 45 €'])
    assert.deepEqual(read(text), expected, text);
  assert.deepEqual(read('name;price\nMeursault 2020;45'), [row('Meursault', { vintage: 2020, price: 45 })]);
  assert.deepEqual(read('Quiet Ledge 2015;2020;45'), [row('Quiet Ledge 2015', { vintage: 2020, price: 45 })]);
  assert.deepEqual(read('Cuvée 2000, 13%, 20 €'), [row('Cuvée 2000', { abv: 13, price: 20, currency: 'EUR' })]);
});

test('"no vintage" is read in small letters too', () => {
  const expected = [row('Stone Ledge', { vintage: 'NV', price: 30, currency: 'EUR' })];
  for (const text of ['Stone Ledge n.v. 30 €', 'Stone Ledge nv 30 €', 'Stone Ledge n.v., 30 €', 'Stone Ledge NV;30 €'])
    assert.deepEqual(read(text), expected, text);
  assert.deepEqual(read('NV;30 €'), [row('NV', { price: 30, currency: 'EUR' })]);
});

test('a space of another kind in a name is no "NV"', () => {
  for (const name of ['Pale\u00a0Ledge', 'Pale\u202fLedge', 'Pale  Ledge', '"Pale\nLedge"'])
    assert.deepEqual(read(`${name};13;20`), [row('Pale Ledge', { abv: 13, price: 20 })], name);
  assert.deepEqual(read('Pale\u00a0Ledge\u00a0NV;30 €'), [
    row('Pale Ledge', { vintage: 'NV', price: 30, currency: 'EUR' }),
  ]);
});

test('a number beside a currency is no vintage', () => {
  for (const text of ['Sake ¥2000', 'Sake ¥ 2000', 'Sake 2000 ¥', 'Sake ¥2,000', 'Sake;¥2000', 'Sake JPY 2000'])
    assert.deepEqual(read(text), [row('Sake', { price: 2000, currency: 'JPY' })], text);
  assert.deepEqual(read('Sake 2018 ¥12000'), [row('Sake', { vintage: 2018, price: 12000, currency: 'JPY' })]);
  for (const text of ['Chianti 2019 € 25', 'Chianti 25 € 2019', 'Chianti € 25 2019', 'Chianti 2019 25 EUR'])
    assert.deepEqual(read(text), [row('Chianti', { vintage: 2019, price: 25, currency: 'EUR' })], text);
  for (const text of ['Chianti 2019 Fr. 25', 'Chianti 25.- CHF 2019'])
    assert.deepEqual(read(text), [row('Chianti', { vintage: 2019, price: 25, currency: 'CHF' })], text);
});

test('the end of a word is no currency', () => {
  assert.deepEqual(read('Fleur 25 €'), [row('Fleur', { price: 25, currency: 'EUR' })]);
  assert.deepEqual(read('La Fleur 2019 25'), [row('La Fleur', { vintage: 2019, price: 25 })]);
});

test('thousands are read with and without columns', () => {
  for (const text of ['Sake 12.000 €', 'Sake;12.000 €', 'Sake\t12.000 €'])
    assert.deepEqual(read(text), [row('Sake', { price: 12000, currency: 'EUR' })], text);
  for (const text of ['Sake £1,250', 'Sake £1,250.00', 'Sake\t£1,250'])
    assert.deepEqual(read(text), [row('Sake', { price: 1250, currency: 'GBP' })], text);
  assert.deepEqual(read('Chablis,£15,750'), [row('Chablis', { price: 15, currency: 'GBP', words: '750' })]);
});

test('headings that begin with the wine may mean its price', () => {
  const headings = ['Wine', 'Wine type', 'Case price', 'Price per bottle'].join('\t');
  assert.deepEqual(read(`${headings}\nPale Ledge\tBarolo\t270\t45`), [
    row('Pale Ledge', { price: 45, words: 'Case price: 270' }),
  ]);
  assert.deepEqual(read('Bottle;Alcohol;Cost\nPale Ledge;13;45'), [row('Pale Ledge', { abv: 13, price: 45 })]);
});

test('the signs of dollars and of the rand are read', () => {
  const rand = [
    row('Pale Ledge', { price: 180, currency: 'ZAR' }),
    row('Loud Ledge', { price: 1250, currency: 'ZAR' }),
  ];
  assert.deepEqual(read('Pale Ledge R180\nLoud Ledge R 1 250,00', 'ZAR'), rand);
  assert.deepEqual(read('Wine;Price\nPale Ledge;R180\nLoud Ledge;R1 250', 'ZAR'), rand);
  for (const [sign, currency] of Object.entries({ US$: 'USD', C$: 'CAD', CA$: 'CAD', A$: 'AUD', NZ$: 'NZD' }))
    assert.deepEqual(read(`Pale Ledge ${sign}38`, 'EUR'), [row('Pale Ledge', { price: 38, currency })], sign);
});

test('a price behind the dots of a printed list is read', () => {
  for (const price of ['45,00', '45,-', '45.00 €', '45'])
    assert.deepEqual(read(`Pale Ledge 2018.....${price}`, 'EUR'), [
      row('Pale Ledge', { vintage: 2018, price: 45, currency: 'EUR' }),
    ]);
});

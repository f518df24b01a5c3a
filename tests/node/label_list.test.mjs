// The lines of a printed list become rows for the preview of a pasted list.
import assert from 'node:assert/strict';
import test from 'node:test';
import { listRows, listText } from '../../static/rules/label_text/list.js';
import { isPrice, withBetterPrices } from '../../static/rules/label_text/prices.js';

const THIS_YEAR = 2026;

/** @param {[string, number, number, number][]} parts text, x, y, width */
const rowsOf = (parts) =>
  listRows(
    parts.map(([text, x, y, width]) => ({ text, confidence: 0.9, box: { x, y, width, height: 20 } })),
    THIS_YEAR,
  ).map(({ name, vintage, price, glass, alcohol }) => [name, vintage, price, glass, alcohol]);

/** @param {string} line */
const row = (line) => rowsOf([[line, 0, 0, 400]])[0];

test('a line of a list gives name, vintage, price and alcohol', () => {
  assert.deepEqual(row('Chablis, Domaine Bleu 2019 ... 42,00 €'), ['Chablis, Domaine Bleu', 2019, 42, null, null]);
  assert.deepEqual(row('2018 Barolo Tre Colombe 13,5% vol € 65'), ['Barolo Tre Colombe', 2018, 65, null, 13.5]);
  assert.deepEqual(row('Riesling Kabinett 2021 38'), ['Riesling Kabinett', 2021, 38, null, null]);
  assert.deepEqual(row('Sancerre 2022 £9.50 / £45.00'), ['Sancerre', 2022, 45, 9.5, null]);
  assert.deepEqual(row('Sancerre 2022 9.50 45.00'), ['Sancerre', 2022, 45, 9.5, null]);
  assert.deepEqual(row('Sancerre verre 15 cl 8,50 €'), ['Sancerre', null, null, 8.5, null]);
  assert.deepEqual(row('Meursault 2020 I2 % vol 88,50'), ['Meursault', 2020, 88.5, null, 12]);
  assert.deepEqual(row('Sancerre 75 cl 48 CHF'), ['Sancerre', null, 48, null, null]);
});

test('thousands are read, and numbers of the name are not', () => {
  for (const written of ['1 250 €', '1.250 €', '€ 1,250', '£1,250.00', "CHF 1'250.-", '1.250,00 EUR'])
    assert.deepEqual(row(`Tre Colombe 2010 ${written}`), ['Tre Colombe', 2010, 1250, null, null], written);
  assert.deepEqual(row('Lot 389 120 €'), ['Lot 389', null, 120, null, null]);
  assert.deepEqual(row('Lot 389 2019 89'), ['Lot 389', 2019, 89, null, null]);
  assert.deepEqual(row('Chianti 12 2019'), ['Chianti', 2019, 12, null, null]);
});

test('the price of a litre on a shelf is left out', () => {
  assert.deepEqual(row('Champagne Brut £39.99 £53.32/l'), ['Champagne Brut', null, 39.99, null, null]);
  assert.deepEqual(
    rowsOf([
      ['Fixin 2016', 0, 0, 200],
      ['12,99 €', 300, 0, 60],
      ['(17,32 €/l)', 400, 0, 90],
    ]),
    [['Fixin', 2016, 12.99, null, null]],
  );
});

test('a list with prices of a litre alone has its wines', () => {
  const lines = (/** @type {string[]} */ ...texts) => rowsOf(texts.map((text, at) => [text, 0, at * 40, 400]));
  assert.deepEqual(lines('House wines', 'House red 18 €/l', 'House white € 16 al litro'), [
    ['House red', null, null, null, null],
    ['House white', null, null, null, null],
  ]);
  assert.deepEqual(lines('Fixin 2016 12,99 €', 'Base price 17,32 €/l'), [['Fixin', 2016, 12.99, null, null]]);
});

test('a price without cents or beside a sign is no name or year', () => {
  assert.deepEqual(row('Fendant 2020 25.-'), ['Fendant', 2020, 25, null, null]);
  assert.deepEqual(row("Fendant 1'250.–"), ['Fendant', null, 1250, null, null]);
  assert.deepEqual(row('Sake ¥2000'), ['Sake', null, 2000, null, null]);
  assert.deepEqual(row('Meursault (2020) 45,00'), ['Meursault', 2020, 45, null, null]);
});

test('a currency is a word of its own', () => {
  assert.deepEqual(row('Hermitage 2015 120 Euro'), ['Hermitage', 2015, 120, null, null]);
  assert.deepEqual(row('Fronsac 2015 12 Frontons'), ['Fronsac 12 Frontons', 2015, null, null, null]);
  assert.deepEqual(row('Fleur 2015 12'), ['Fleur', 2015, 12, null, null]);
});

test('parts beside each other make one row, from left to right', () => {
  assert.deepEqual(
    rowsOf([
      ['42,00', 500, 3, 60],
      ['Chablis 2019', 0, 0, 200],
      ['Meursault 2020', 0, 40, 220],
      ['88,00', 500, 44, 60],
    ]),
    [
      ['Chablis 2019', 2019, 42],
      ['Meursault 2020', 2020, 88],
    ].map(([name, vintage, price]) => [String(name).slice(0, -5), vintage, price, null, null]),
  );
});

test('a price is repaired as the others of its list suggest', () => {
  const rows = rowsOf([
    ['Chablis 2019 42,00', 0, 0, 400],
    ['Fixin 2016 35,00', 0, 40, 400],
    ['Meursault 2020 8800', 0, 80, 400],
    ['Volnay 2018 III,50', 0, 120, 400],
    ['Pommard 2017 39/50', 0, 160, 400],
    ['Beaune 2015', 0, 200, 400],
  ]);
  assert.deepEqual(
    rows.map(([, vintage, price]) => [vintage, price]),
    [
      [2019, 42],
      [2016, 35],
      [2020, 88],
      [2018, 111.5],
      [2017, 39.5],
      [2015, null],
    ],
  );
  assert.equal(row('Volnay 2018')?.[2], null);
});

test('prices without cents beside others are read', () => {
  const parts = (/** @type {string[]} */ ...texts) =>
    rowsOf(texts.map((text, at) => [text, at * 500, 0, 300]))[0]?.slice(1, 4);
  assert.deepEqual(parts('Fixin 2016', '7,50', '36'), [2016, 36, 7.5]);
  assert.deepEqual(parts('Fixin 2016', '14', '69'), [2016, 69, 14]);
  assert.deepEqual(parts('Lot 389', '45,00'), [null, 45, null]);
  assert.deepEqual(parts('Fixin 2016', '1850', '92'), [2016, 92, 18.5]);
  assert.deepEqual(parts('Fixin 2016', '2800', '139,00'), [2016, 139, 28]);
  assert.deepEqual(parts('Fixin 2016', '13,50', '660'), [2016, 66, 13.5]);
  assert.deepEqual(parts('Fixin 2016', '95', '480'), [2016, 480, 95]);
  assert.deepEqual(
    rowsOf([
      ['Fixin 2016 35,50', 0, 0, 300],
      ['Volnay 2015 113', 0, 40, 300],
    ]).map(([, , price]) => price),
    [35.5, 113],
  );
});

test('headings and lines without numbers are no rows', () => {
  assert.deepEqual(rowsOf([['White wines', 0, 0, 200]]), []);
  assert.deepEqual(rowsOf([['Verre   Bouteille', 0, 0, 200]]), []);
});

test('the text has headings and one line for each row', () => {
  const box = { x: 0, y: 0, width: 1, height: 1 };
  const first = { name: 'Chablis\t"Bleu"', vintage: 2019, price: 42.5, glass: null, currency: null, alcohol: 13, box };
  assert.equal(listText([first]), 'name\tvintage\tprice\talcohol\nChablis  Bleu \t2019\t42.5\t13');
  const second = { ...first, name: 'Volnay', vintage: null, glass: 9, alcohol: null };
  assert.equal(
    listText([first, second]),
    'name\tvintage\tprice\tglass\talcohol\nChablis  Bleu \t2019\t42.5\t\t13\nVolnay\t\t42.5\t9\t',
  );
  assert.equal(listText([]), '');
});

test('the currency of a price is kept as printed', () => {
  const text = (/** @type {string} */ line) => {
    const box = { x: 0, y: 0, width: 400, height: 20 };
    return listText(listRows([{ text: line, confidence: 0.9, box }], THIS_YEAR)).split('\n')[1];
  };
  assert.equal(text('Sancerre 2022 £9.50 / £45.00'), 'Sancerre\t2022\t£ 45\t£ 9.5');
  assert.equal(text('Chablis 2019 42,00 €'), 'Chablis\t2019\t€ 42');
  assert.equal(text('Fendant 2021 Fr. 38'), 'Fendant\t2021\tCHF 38');
  assert.equal(text('Fendant 2021 38 chf'), 'Fendant\t2021\tCHF 38');
  assert.equal(text('Fendant 2021 450 kr'), 'Fendant\t2021\tKR 450');
  assert.equal(text('Fendant 2021 89 zł'), 'Fendant\t2021\tPLN 89');
  assert.equal(text('Riesling 2021 38'), 'Riesling\t2021\t38');
  assert.equal(text('Eurydice 2021 38,00'), 'Eurydice\t2021\t38');
});

test('a decimal percentage beside a name is the alcohol', () => {
  assert.deepEqual(row('Alvarinho 12,5% 2022 29,00'), ['Alvarinho', 2022, 29, null, 12.5]);
  assert.deepEqual(row('Cuvée 85 % Merlot 2019 29,00')?.slice(1), [2019, 29, null, null]);
  assert.equal(row('Alvarinho 2022 29,00 -2,5%')?.[4], null);
  assert.deepEqual(row('Alvarinho 12,5° 2022 29,00'), ['Alvarinho', 2022, 29, null, 12.5]);
});

test('headings are in the language that is asked for', () => {
  const [first] = listRows(
    [{ text: 'Volnay 2018 42', confidence: 0.9, box: { x: 0, y: 0, width: 9, height: 9 } }],
    THIS_YEAR,
  );
  const french = { name: 'Nom', vintage: 'Millésime', price: 'Prix', glass: 'Au verre', alcohol: 'Alcool' };
  assert.equal(listText(first ? [first] : [], french), 'Nom\tMillésime\tPrix\nVolnay\t2018\t42');
});

test('the reading of a price that is more like a price is kept', () => {
  const better = (/** @type {string} */ first, /** @type {string} */ second) =>
    withBetterPrices([{ text: first, at: 7 }], [{ text: second, at: 7 }])[0]?.text;
  assert.equal(better('5650', '56,50'), '56,50');
  assert.equal(better('59.0', '59,00 €'), '59,00 €');
  assert.equal(better('#00', '32'), '32');
  assert.equal(better('22', '2'), '22');
  assert.equal(better('79,50', '19,50'), '79,50');
  assert.equal(better('£57.00', '5700'), '£57.00');
  assert.deepEqual(withBetterPrices([{ text: '5650', at: 7 }], [{ text: '56,50', at: 8 }]), [{ text: '5650', at: 7 }]);
});

test('only lines that may be a price are read again', () => {
  assert.deepEqual(
    ['42,00', '#00', '£ 9.50', '48 CHF', 'II1,50', 'Chablis 2019', 'Vins', '...'].map((text) => isPrice({ text })),
    [true, true, true, true, true, false, false, false],
  );
});

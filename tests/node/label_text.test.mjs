// What is read on a label becomes proposals; mistakes of recognition never become a sure one.
import assert from 'node:assert/strict';
import test from 'node:test';
import { alcoholIn, isLawfulStep } from '../../static/rules/label_text/alcohol.js';
import { vintagesIn, volumeIn } from '../../static/rules/label_text/numbers.js';
import { countryIn, marketOf } from '../../static/rules/label_text/origin.js';
import { proposalsOf } from '../../static/rules/label_text/propose.js';
import { definedWordsIn } from '../../static/rules/label_text/words.js';

const THIS_YEAR = 2026;
const BOX = { x: 0, y: 0, width: 100, height: 20 };

/** @param {string[]} texts @param {number} [confidence] @returns {any[]} */
const linesOf = (texts, confidence = 0.95) =>
  texts.map((text, at) => {
    const box = { ...BOX, y: at * 40 };
    const words = text.split(' ').map((word) => ({ text: word, confidence, box }));
    return { text, confidence, box, words, at };
  });

/** @param {string[]} texts @param {string[]} [again] @param {number} [confidence] @param {string | null} [market] */
const propose = (texts, again = texts, confidence = 0.95, market = null) =>
  proposalsOf(linesOf(texts, confidence), [linesOf(again, confidence)], { thisYear: THIS_YEAR, market });

/** @param {any[]} proposals @param {string} field */
const of = (proposals, field) => proposals.filter((one) => one.field === field).map(({ value, sure }) => [value, sure]);

test('a complete alcohol statement is clear', () => {
  for (const [line, value] of /** @type {[string, number][]} */ ([
    ['13,5 % vol', 13.5],
    ['13,5% vol.', 13.5],
    ['ALC. 13.5% BY VOL.', 13.5],
    ['ALC.14,5% VOL.', 14.5],
    ['14.1% ALC./VOL.', 14.1],
    ['Alc 12% by vol.', 12],
    ['Alk. 12,5 % Vol.', 12.5],
    ['TAV 11,5 % VOL', 11.5],
    ['13.5% ABV', 13.5],
    ['75 cl  13 % vol', 13],
    ['12,5°', 12.5],
    ['12,5 ° ', 12.5],
  ])) {
    const found = alcoholIn(line);
    assert.deepEqual([found?.low, found?.high, found?.clear], [value, value, true], line);
  }
});

test('a repaired alcohol statement is never clear', () => {
  for (const [line, value] of /** @type {[string, number][]} */ ([
    ['135 % vol', 13.5],
    ['145%vol', 14.5],
    ['l3,5 % vol', 13.5],
    ['13,S % vol', 13.5],
    ['1O,5% vol', 10.5],
    ['13,5 vol', 13.5],
    ['13,5 %', 13.5],
    ['5 % vol', 5],
    ['18,5 % vol', 18.5],
    ['12°', 12],
  ])) {
    const found = alcoholIn(line);
    assert.deepEqual([found?.low, found?.clear], [value, false], line);
  }
});

test('a range of alcohol keeps both ends', () => {
  for (const line of ['ALCOHOL 11% TO 13% BY VOLUME', 'ALC. 11-13% BY VOL.', 'Alcohol 11 % to 13 % by volume']) {
    const found = alcoholIn(line);
    assert.deepEqual([found?.low, found?.high, found?.clear], [11, 13, true], line);
  }
  assert.equal(alcoholIn('ALCOHOL 7% TO 14% BY VOLUME')?.clear, false);
});

test('a back label that speaks of cider is still a wine', () => {
  const styles = (/** @type {string[]} */ ...texts) => of(propose(texts), 'style').map(([style]) => style);
  for (const lines of [
    ['Chablis', 'perfect for sangria'],
    ['Chablis', 'PERFECT FOR SANGRIA'],
    ['CHABLIS', 'PERFECT FOR', 'YOUR SUMMER SANGRIA'],
    ['CHABLIS', 'PAIRS WITH CIDER'],
    ['Chablis', 'cider apple notes'],
    ['CIDER HILL', 'Chablis'],
    ['Bodega', 'La Sidra', 'Chablis'],
  ])
    assert.equal(styles(...lines)[0], 'wht_chablis', lines.join());
  for (const lines of [
    ['Barolo', 'Chinato'],
    ['Vermouth di Torino Rosso', 'Nebbiolo', 'Barolo'],
    ['SANGRIA', 'PERFECT FOR SUMMER', 'Rioja'],
  ])
    assert.deepEqual(styles(...lines), [], lines.join());
});

test('other numbers are no alcohol', () => {
  for (const line of [
    '85 % Merlot',
    '15 % Syrah',
    '100% Chardonnay',
    '75 cl',
    '2018',
    '750 ml',
    'L 1124 8',
    '18 °C',
    '',
  ])
    assert.equal(alcoholIn(line), null, line);
});

test('the EU allows whole and half percents only', () => {
  assert.deepEqual(
    [13, 13.5, 13.2].map((value) => isLawfulStep(value, 'EU')),
    [true, true, false],
  );
  assert.equal(isLawfulStep(13.2, 'US'), true);
});

test('a vintage is a year that nothing else explains', () => {
  const years = (/** @type {string} */ line) => vintagesIn(line, THIS_YEAR).map(({ value, clear }) => [value, clear]);
  assert.deepEqual(years('2018'), [[2018, true]]);
  assert.deepEqual(years('Chablis 2018'), [[2018, true]]);
  assert.deepEqual(years('2O18'), [[2018, false]]);
  assert.deepEqual(years('20l8'), [[2018, false]]);
  assert.deepEqual(years('1961'), [[1961, false]]);
  for (const line of [
    'Est. 1987',
    'Since 1987',
    'depuis 1987',
    'Lot 2018',
    'L.2018',
    '2027',
    '1887',
    '20189',
    '12,2018',
    '375',
  ])
    assert.deepEqual(years(line), [], line);
});

test('contents are of a size that is sold', () => {
  for (const [line, value, clear] of /** @type {[string, number, boolean][]} */ ([
    ['75 cl', 750, true],
    ['75cle', 750, true],
    ['750 mL', 750, true],
    ['0,75 l', 750, true],
    ['37,5cl', 375, true],
    ['1,5 l', 1500, true],
    ['150 cl', 1500, true],
    ['187 ml', 187, true],
    ['375 mi', 375, false],
    ['75 cI', 750, false],
    ['0,751', 750, false],
    ['0751', 750, false],
    ['| 075 l', 750, false],
    ['[750', 750, false],
    ['| 150 dl', 1500, false],
    ['75 de |', 750, false],
  ])) {
    const found = volumeIn(line);
    assert.deepEqual([found?.value, found?.clear], [value, clear], line);
  }
  for (const line of ['150 ml', '74 cl', '1,51 % vol', '12 % vol', '2018', 'Bin 750', '150', '0752'])
    assert.equal(volumeIn(line), null, line);
});

test('words that the law defines are found in four languages', () => {
  const words = (/** @type {string} */ line) => definedWordsIn(line).map(({ value, clear }) => [value, clear]);
  assert.deepEqual(words('Demi-Sec'), [['medium_dry', true]]);
  assert.deepEqual(words('EXTRA BRUT'), [['extra_brut', true]]);
  assert.deepEqual(words('Riesling Kabinett trocken'), [
    ['dry', true],
    ['Kabinett', true],
  ]);
  assert.deepEqual(words('Halbtrocken'), [['medium_dry', true]]);
  assert.deepEqual(words('Barolo Riserva'), [['Riserva', true]]);
  assert.deepEqual(words('Spätlese'), [['Spätlese', true]]);
  assert.deepEqual(words('Trockenbeerenauslese'), [['Trockenbeerenauslese', true]]);
  assert.deepEqual(words('Halbtrokken'), [['medium_dry', false]]);
  assert.deepEqual(words('Appellation Chablis Contrôlée'), [[true, true]]);
  assert.deepEqual(words('Section'), []);
  assert.deepEqual(words('Secret Garden'), []);
});

test('partially de-alcoholised is not read as de-alcoholised', () => {
  const words = (/** @type {string} */ line) => definedWordsIn(line).map(({ value }) => value);
  for (const whole of ['De-alcoholised wine', 'Vin désalcoolisé', 'Entalkoholisierter Wein', 'Vino dealcolizzato'])
    assert.deepEqual(words(whole), ['dealcoholised'], whole);
  for (const part of ['Partially de-alcoholized', 'Vin partiellement désalcoolisé', 'Teilweise entalkoholisiert'])
    assert.deepEqual(words(part), ['partially_dealcoholised'], part);
});

test('de-alcoholised is not clear, as "partially" may be missed', () => {
  const words = (/** @type {string} */ line) => definedWordsIn(line).map(({ value, clear }) => [value, clear]);
  for (const misread of ['Partialy dealcoholised', 'Partially de-alcoho1ised', 'désalcoolisé partielement'])
    assert.deepEqual(words(misread), [['partially_dealcoholised', false]], misread);
  assert.deepEqual(words('Vin désalcoolisé partiellement'), [['partially_dealcoholised', true]]);
  for (const alone of ['dealcoholised', 'Vin désalcoolisé'])
    assert.deepEqual(words(alone), [['dealcoholised', false]], alone);
});

test('the country is read from its statement only', () => {
  for (const [line, value] of [
    ['Produit de France', 'FR'],
    ['Product of Italy', 'IT'],
    ['Prodotto in Italia', 'IT'],
    ['Erzeugnis aus Deutschland', 'DE'],
    ['Produce of the United Kingdom', 'GB'],
    ['WINE OF AUSTRALIA', 'AU'],
    ['Product of South Africa', 'ZA'],
    ['PRODUCT OF U.S.A.', 'US'],
    ["Vin d'Espagne", 'ES'],
  ])
    assert.equal(countryIn(String(line))?.value, value, line);
  for (const line of ['Domaine de France', 'Product of nature', 'Italia']) assert.equal(countryIn(line), null, line);
  assert.equal(marketOf(['GOVERNMENT WARNING: (1)'], null)?.value, 'US');
  assert.equal(marketOf(['Chablis'], 'FR')?.value, 'EU');
  assert.equal(marketOf(['Chablis'], null), null);
  assert.equal(marketOf(['Chablis'], 'CL'), null);
});

const LABEL = ['Domaine des Trois Chênes', 'Chablis', '2018', '13,5 % vol', '75 cl', 'Produit de France'];

test('two readings that agree make a number sure', () => {
  const read = propose(LABEL);
  assert.deepEqual(of(read, 'label_abv'), [[13.5, true]]);
  assert.deepEqual(of(read, 'vintage'), [[2018, true]]);
  assert.deepEqual(of(read, 'volume_ml'), [[750, true]]);
  assert.deepEqual(of(read, 'country'), [['FR', true]]);
  assert.deepEqual(of(read, 'style')[0], ['wht_chablis', true]);
});

test('a number is not sure where a reading disagrees or doubts', () => {
  const other = LABEL.map((line) => line.replace('13,5', '13,6').replace('2018', '2013'));
  assert.deepEqual(of(propose(LABEL, other), 'label_abv')[0]?.[1], false);
  assert.deepEqual(of(propose(LABEL, other), 'vintage')[0]?.[1], false);
  assert.deepEqual(of(propose(LABEL, []), 'label_abv'), [[13.5, false]]);
  assert.deepEqual(of(propose(LABEL, LABEL, 0.6), 'label_abv'), [[13.5, false]]);
  assert.deepEqual(of(propose([...LABEL, '12,5 % vol']), 'label_abv')[0]?.[1], false);
  assert.deepEqual(of(propose(['13,2 % vol'], ['13,2 % vol'], 0.95, 'EU'), 'label_abv'), [[13.2, false]]);
});

test('a picture without print gives no proposals', () => {
  assert.deepEqual(propose(['~', '|i', '— a'], []), []);
  assert.deepEqual(propose([], []), []);
});

// What a photo of a label offers for a bottle, and what a choice writes.
import test from 'node:test';
import assert from 'node:assert/strict';
import { fieldsOf, firstTicks, nameLines, offersOf, toggled } from '../../static/domain/label_photo/offers.js';
import { appendList } from '../../static/features/shelf/import/csv.js';

const box = { x: 0, y: 0, width: 10, height: 10 };
const NAMES = { name: '', producer: '' };
// GS1, "How to calculate a check digit": 629104150021 has the check digit 3.
const GTIN = '6291041500213';

/** @param {string} field @param {unknown} value @param {boolean} [sure] */
const proposal = (field, value, sure = true) => ({
  field: /** @type {any} */ (field),
  value,
  text: String(value),
  sure,
  confidence: 0.9,
  box,
});

/** @param {ReturnType<typeof proposal>[]} proposals @param {Record<string, any>} [bottle] */
const offered = (proposals, bottle = {}) => offersOf({ proposals, barcode: null }, bottle);

/** @param {ReturnType<typeof proposal>[]} proposals @param {Record<string, any>} bottle */
function written(proposals, bottle) {
  const { offers } = offered(proposals, bottle);
  return fieldsOf(offers, NAMES, bottle);
}

test('only sure values of empty fields are ticked at first', () => {
  const { offers } = offered(
    [proposal('label_abv', 13.5), proposal('vintage', 2019, false), proposal('country', 'IT')],
    { label_abv: 12.5 },
  );
  assert.deepEqual(
    firstTicks(offers).map((id) => offers[id]?.field),
    ['country'],
  );
  assert.equal(offers[0]?.before, 12.5);
});

test('a value that the bottle has is not offered again', () => {
  const { offers, known } = offered([proposal('label_abv', 13.5), proposal('label_words', 'brut')], {
    label_abv: 13.5,
    label_words: ['brut', 'sweet'],
  });
  assert.deepEqual(offers, []);
  assert.deepEqual(
    known.map(({ field }) => field),
    ['label_abv', 'label_words'],
  );
});

test('a value that the record cannot hold is not offered', () => {
  assert.deepEqual(offered([proposal('label_abv', 135), proposal('label_market', 'MOON')]).offers, []);
});

test('two values of a field exclude each other', () => {
  const { offers } = offered([proposal('label_abv', 12.5), proposal('label_abv', 13), proposal('vintage', 2019)]);
  const [first, second, third] = offers;
  assert.ok(first && second && third);
  assert.deepEqual(firstTicks(offers), [first.id, third.id]);
  const swapped = toggled(offers, firstTicks(offers), second);
  assert.deepEqual(swapped.sort(), [second.id, third.id]);
  assert.deepEqual(toggled(offers, swapped, second), [third.id]);
});

test('words are added to those of the bottle', () => {
  const bottle = { label_words: ['sweet'], words: 'From Ada' };
  const proposals = [proposal('label_words', 'brut'), proposal('quality', 'Riserva'), proposal('quality', 'Superiore')];
  assert.deepEqual(written(proposals, bottle), {
    label_words: ['sweet', 'brut'],
    words: 'From Ada\nRiserva\nSuperiore',
  });
});

test('a word without a field is kept as it is spelled in the table', () => {
  const classico = { ...proposal('quality', 'Classico'), text: 'CHIANTI CLASS1CO' };
  assert.deepEqual(written([classico], {}), { words: 'Classico' });
});

test('a vintage clears the mark for none, and the reverse', () => {
  assert.deepEqual(written([proposal('vintage', 2019)], { non_vintage: true }), { vintage: 2019, non_vintage: null });
  assert.deepEqual(written([proposal('non_vintage', true)], { vintage: 2019 }), { vintage: null, non_vintage: true });
});

test('a barcode is offered unless it is the number of a shop', () => {
  const codes = [GTIN, '2000000000008', '6291041500214', null].map((barcode) =>
    offersOf({ proposals: [], barcode }, {}).offers.map(({ value }) => value),
  );
  assert.deepEqual(codes, [[GTIN], [], [], []]);
});

test('names are cut to the length that the record holds', () => {
  assert.deepEqual(fieldsOf([], { name: 'a'.repeat(200), producer: '' }, {}), { name: 'a'.repeat(120) });
});

test('lines of names have letters, the largest print first', () => {
  const line = (/** @type {string} */ text, /** @type {number} */ height) => ({
    text,
    confidence: 0.9,
    box: { ...box, height },
  });
  assert.deepEqual(
    nameLines({ lines: [line('2019', 90), line('Tenuta Alta', 40), line('Sasso Vivo', 80), line('e', 10)] }).map(
      ({ text }) => text,
    ),
    ['Sasso Vivo', 'Tenuta Alta'],
  );
});

test('other statements, bars and patterns are no names', () => {
  const line = (/** @type {string} */ text, y = 0, confidence = 0.9) => ({ text, confidence, box: { ...box, y } });
  const lines = [
    line('Alc. 12.5-13.5% by vol.'),
    line('13,5% vol  750 ml'),
    line('QUOCENUOTEUNEE', 500),
    line('Ge Pat Oeck', 0, 0.3),
    line('Sasso Vivo 13,5% vol'),
    line('Product of Italy', 700),
  ];
  const country = { ...proposal('country', 'IT'), box: { ...box, y: 700 } };
  const barcodeBox = { x: 0, y: 480, width: 300, height: 90 };
  assert.deepEqual(
    nameLines({ lines, barcodeBox, proposals: [country] }).map(({ text }) => text),
    ['Sasso Vivo 13,5% vol'],
  );
});

test('a range of alcohol is one offer', () => {
  const range = [proposal('label_abv_low', 12.5), proposal('label_abv_high', 13.5)];
  assert.deepEqual(
    offered(range).offers.map(({ value, before }) => [value, before]),
    [[[12.5, 13.5], null]],
  );
  assert.deepEqual(written(range, {}), { label_abv_low: 12.5, label_abv_high: 13.5 });
  assert.deepEqual(offered(range, { label_abv_low: 12.5, label_abv_high: 13.5 }).offers, []);
  assert.deepEqual(
    offered(range, { label_abv: 12.5 }).offers.map(({ before }) => before),
    [12.5],
  );
});

test('a number and a range of alcohol replace each other', () => {
  const range = [proposal('label_abv_low', 12.5), proposal('label_abv_high', 13.5)];
  const both = { label_abv_low: 12.5, label_abv_high: 13.5 };
  assert.deepEqual(written(range, { label_abv: 14 }), { ...both, label_abv: null });
  const one = [proposal('label_abv', 14)];
  assert.deepEqual(offered(one, both).offers[0]?.before, [12.5, 13.5]);
  assert.deepEqual(written(one, both), { label_abv: 14, label_abv_low: null, label_abv_high: null });
});

test('a barcode comes with its place', () => {
  const barcodeBox = { x: 5, y: 6, width: 70, height: 20 };
  const { offers } = offersOf({ proposals: [], barcode: GTIN, barcodeBox }, {});
  assert.deepEqual(
    offers.map((offer) => [offer.field, offer.value, offer.box]),
    [['gtin', GTIN, barcodeBox]],
  );
});

test('the second page of a list comes without its headings', () => {
  assert.equal(appendList('', 'name\tprice\nA\t1'), 'name\tprice\nA\t1');
  assert.equal(appendList('name\tprice\nA\t1\n', 'name\tprice\nB\t2'), 'name\tprice\nA\t1\nB\t2');
  assert.equal(appendList('name\nA', 'name\tprice\nB\t2'), 'name\nA\nname\tprice\nB\t2');
});

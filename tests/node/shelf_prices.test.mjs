// Which prices the Shelf compares, and how its orders, its filter and its headline use them.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { comparedCurrency } from '../../static/features/shelf/list/compared_price.js';
import { matches, NO_FILTERS } from '../../static/features/shelf/list/filters.js';
import { estimatedPrice, pickLine } from '../../static/features/shelf/list/pick_text.js';
import { shelfRows } from '../../static/features/shelf/list/shelf_rows.js';
import { sorted } from '../../static/features/shelf/list/sort.js';
import { topThreeText } from '../../static/features/shelf/list/top_three.js';
import { row, taster } from './shelf_records.mjs';

/**
 * @param {Record<string, { price?: number, currency?: string, volume_ml?: number }>} prices by name
 * @param {string | null} usual currency
 */
function rowsOf(prices, usual) {
  const named = Object.entries(prices);
  const picks = named.map(([bottle, { price, currency }]) => row('pick', bottle, { bottle, price, currency }));
  const bottles = named.map(([name, { volume_ml }]) => row('bottle', name, { name, volume_ml }));
  const shelf = { picks, bottles: new Map(bottles.map((bottle) => [bottle.id, bottle])), tastings: new Map() };
  const currency = comparedCurrency(picks, usual);
  return shelfRows(shelf, { preferred: { low: null, high: null }, compact: taster(), today: '2026-11-28', currency });
}

/** @param {import('../../static/features/shelf/list/shelf_rows.js').ShelfRow[]} rows */
const names = (rows) => rows.map(({ bottle }) => bottle?.id);

const MIXED = {
  yen: { price: 1500, currency: 'JPY' },
  euro: { price: 20, currency: 'EUR' },
  pounds: { price: 50, currency: 'GBP' },
  plain: { price: 30 },
  dear: { price: 130, currency: 'GBP' },
  unpriced: {},
};

test('prices in other currencies come last', () => {
  for (const order of ['price', 'value']) {
    const found = names(sorted(rowsOf(MIXED, 'GBP'), order));
    assert.deepEqual(found.slice(0, 3), ['plain', 'pounds', 'dear'], order);
  }
});

test('prices in other currencies pass the filter', () => {
  const passing = rowsOf(MIXED, 'GBP').filter((each) => matches(each, { ...NO_FILTERS, price_high: 40 }));
  assert.deepEqual(names(passing), ['yen', 'euro', 'plain', 'unpriced']);
});

test('one other currency is compared if every price is in it', () => {
  const abroad = { dear: { price: 2500, currency: 'JPY' }, cheap: { price: 900, currency: 'JPY' }, unpriced: {} };
  assert.deepEqual(names(sorted(rowsOf(abroad, 'GBP'), 'price')), ['cheap', 'dear', 'unpriced']);
  const mixed = { ...abroad, euro: { price: 20, currency: 'EUR' } };
  assert.ok(rowsOf(mixed, 'GBP').every(({ price }) => price === null));
});

test('best value compares equal amounts of wine', () => {
  const sizes = { magnum: { price: 24, volume_ml: 1500 }, half: { price: 10, volume_ml: 375 }, bottle: { price: 15 } };
  const rows = rowsOf(sizes, null);
  assert.deepEqual(names(sorted(rows, 'value')), ['magnum', 'bottle', 'half']);
  assert.deepEqual(names(sorted(rows, 'price')), ['half', 'bottle', 'magnum']);
});

test('a row says a size other than the usual one', () => {
  const [half, usual] = rowsOf({ half: { price: 10, volume_ml: 375 }, usual: { price: 15, volume_ml: 750 } }, null);
  assert.deepEqual(
    [half, usual].map((each) => each && pickLine(each)),
    ['10 \u00b7 375 ml', '15'],
  );
});

test('a price without a currency has no or two decimals', () => {
  const rows = rowsOf({ broken: { price: 18.5 }, whole: { price: 9 } }, null);
  assert.deepEqual(
    rows.map((each) => pickLine(each)),
    ['18.50', '9'],
  );
});

test('a headline by price needs a price', () => {
  const unpriced = rowsOf({ one: {}, other: {} }, 'GBP');
  for (const order of ['price', 'value']) assert.equal(topThreeText(unpriced, order, false), '');
  assert.equal(topThreeText(unpriced, 'seen', false), 'Newest: one. Next: other.');
  const priced = sorted(rowsOf({ one: {}, other: { price: 0 } }, 'GBP'), 'price');
  assert.equal(topThreeText(priced, 'price', false), 'Cheapest: other, 0.');
});

test('a small estimated price keeps the digits of its currency', () => {
  assert.equal(estimatedPrice(0.375, 'EUR'), '€0.38');
  assert.equal(estimatedPrice(1.05, 'EUR'), '€1.05');
  assert.equal(estimatedPrice(23.4, 'EUR'), '€23.00');
  assert.equal(estimatedPrice(4.4, 'JPY').slice(-1), '4');
});

// How wines, bottles and pours are called; without messages loaded, a text is its key.
import assert from 'node:assert/strict';
import test from 'node:test';
import { bottleLine, bottleName, pourName, wineName } from '../../static/domain/bottle_names.js';

const row = (fields, id = 'b') => ({ id, fields });

test('a wine is called by its name and vintage', () => {
  assert.equal(wineName({ name: 'Owl', vintage: 2019, style: 'wht_chablis' }), 'Owl 2019');
  assert.equal(wineName({ name: 'Owl 2019', vintage: 2019 }), 'Owl 2019');
  assert.equal(wineName({ name: 'Owl', non_vintage: true }), 'Owl vintage.none');
});

test('a wine without a name is called by its style, else unnamed', () => {
  assert.equal(wineName({ style: 'wht_chablis', vintage: 2019 }), 'style.wht_chablis 2019');
  assert.equal(wineName({ name: '', style: 'no_such_style' }), 'app.unnamed');
  assert.equal(bottleName(null), 'app.unnamed');
});

test('the line does not repeat a style that is the name', () => {
  assert.equal(bottleLine(row({ name: 'Owl', style: 'wht_chablis' })), 'style.wht_chablis');
  assert.equal(bottleLine(row({ style: 'wht_chablis' })), '');
});

test('a covered bottle is not named', () => {
  assert.equal(bottleName(row({ name: 'Owl', covered: true })), 'book.covered');
  assert.equal(bottleLine(row({ name: 'Owl', style: 'wht_chablis', covered: true })), '');
});

test('a pour is named as its bottle, a hidden one by its mark', () => {
  const bottles = new Map([
    ['old', row({ name: 'Old', merged_into: 'b' }, 'old')],
    ['b', row({ name: 'Owl' })],
    ['c', row({ name: 'Covered', covered: true }, 'c')],
  ]);
  const pour = (fields) => pourName(row(fields, 'p'), bottles);
  assert.equal(pour({ bottle: 'old' }), 'Owl');
  assert.equal(pour({ bottle: 'b', label_hidden: true, flight_mark: 'A' }), 'pour.hidden_marked');
  assert.equal(pour({ bottle: 'c' }), 'pour.hidden');
  assert.equal(pour({ bottle: 'c', label_hidden: true, uncovered_at: '2026-01-01T00:00:00Z' }), 'pour.hidden');
});

// The Book's search over notes in the store, as typed by somebody.
import assert from 'node:assert/strict';
import test, { before } from 'node:test';
import './english.mjs';
import { searchIndex, watchSearchIndex } from '../../static/domain/search_index.js';
import { effect } from '../../static/lib/ui.js';
import { periodText } from '../../static/features/book/list/filter_sheet.js';
import { NO_FILTERS, search, tokenize } from '../../static/features/book/list/search.js';
import { db } from '../../static/store/database.js';
import { toRow } from '../../static/store/record.js';
import { at, emptyBook, recordOf, someId } from './support.mjs';

/** @type {Record<string, Record<string, any>>} */
const BOTTLES = {
  spaced: { name: 'Saint Emilion', grapes: 'Merlot e Cabernet franc 40%', label_abv: 14.5, vintage: 2016 },
  hyphened: { name: 'Châteauneuf-du-Pape', grapes: 'Shiraz', label_abv: 13, vintage: 2011 },
  ageless: { name: 'Owl', non_vintage: true, label_abv_low: 11.5, label_abv_high: 13 },
  covered: { name: 'Hidden', covered: true, grapes: 'Shiraz', label_abv: 14.5, non_vintage: true },
};
/** @type {Map<string | null, string>} */
const names = new Map();

before(async () => {
  await emptyBook();
  for (const [name, fields] of Object.entries(BOTTLES)) {
    const said = Object.fromEntries(Object.entries(fields).map(([field, value]) => [field, [value, at(1)]]));
    const [bottle, tasting] = [someId(), someId()];
    names.set(bottle, name);
    await db.bottle.put(toRow(recordOf(bottle, said)));
    const noted = { bottle: [bottle, at(1)], tasted_at: ['2016-11-03T10:00:00Z', at(1)] };
    await db.tasting.put(toRow(recordOf(tasting, noted, { kind: 'tasting' })));
  }
  const stop = watchSearchIndex();
  await new Promise((done) => {
    effect(() => {
      if (searchIndex.value) done(undefined);
    });
  });
  stop();
});

/** @param {string} typed @returns {string[]} names of the bottles found */
const found = (typed) =>
  search(searchIndex.value ?? [], tokenize(typed), NO_FILTERS)
    .map(({ bottle }) => names.get(bottle) ?? '')
    .sort();

test('a hyphen finds a name with a space, and the reverse', () => {
  for (const typed of ['saint-emilion', 'Saint-Émilion', 'saint emilion', 'saint-', '-emilion'])
    assert.deepEqual(found(typed), ['spaced'], typed);
  for (const typed of ['chateauneuf-du-pape', 'châteauneuf du pape', 'Châteauneuf\u2011du\u2011Pape'])
    assert.deepEqual(found(typed), ['hyphened'], typed);
});

test('a month stays whole, a lone hyphen is no word', () => {
  assert.deepEqual(tokenize('2016-11 - pinot-noir'), ['2016-11', 'pinot', 'noir']);
  assert.equal(found('2016-11').length, 4);
  assert.deepEqual(found('2016-12'), []);
});

test('a wine without a vintage is found by any of its words', () => {
  for (const typed of ['nv', 'NM', 'no vintage', 'non-vintage', 'non vintage', 'Nonvintage', 'non millésimé'])
    assert.deepEqual(found(typed), ['ageless'], typed);
  assert.deepEqual(found('sa owl'), ['ageless']);
});

test('a noted grape is found by its other names', () => {
  assert.deepEqual(found('syrah'), ['hyphened']);
  assert.deepEqual(found('breton'), ['spaced']);
});

test('printed alcohol is found with a point and a comma', () => {
  for (const typed of ['14.5%', '14,5', '14,5\u202f%']) assert.deepEqual(found(typed), ['spaced'], typed);
  assert.deepEqual(found('13%'), ['ageless', 'hyphened']);
  for (const typed of ['11.5', '11,5\u201313%']) assert.deepEqual(found(typed), ['ageless'], typed);
});

test('grapes of a bottle are listed without percentages', () => {
  const grapesOf = (/** @type {string} */ name) =>
    searchIndex.value?.find(({ bottle }) => names.get(bottle) === name)?.about.grapes;
  assert.deepEqual(grapesOf('spaced'), ['Merlot', 'Cabernet Franc']);
  assert.deepEqual(grapesOf('covered'), []);
});

test('a month of the page that looks back is named in the filter', () => {
  assert.deepEqual(['2026-11', '2026'].map(periodText), ['November 2026', '2026']);
});

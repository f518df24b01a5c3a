// How much the Palate says it knows: wines are counted, not notes.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { leadText } from '../../static/domain/palate/lead_text.js';
import { isYoungPalate, ratedWines } from '../../static/domain/palate/rated_wines.js';

const lead = (/** @type {any} */ document) => leadText({ targets: [], ...document });

test('six notes of two wines are two wines', () => {
  const document = { n_rated: 6, n_wines: 2, levels: ['under_five'] };
  assert.match(lead(document), /^You\u2019ve rated 2 wines\. Until there are five/);
  assert.deepEqual([ratedWines(document), isYoungPalate(document)], [2, true]);
  assert.match(lead({ n_rated: 4, n_wines: 1, levels: ['under_five'] }), /^You\u2019ve rated one wine\./);
});

test('five wines are no longer a first guess', () => {
  assert.deepEqual(
    [4, 5].map((n_wines) => isYoungPalate({ n_rated: 9, n_wines })),
    [true, false],
  );
});

test('an older server counts ratings only', () => {
  assert.deepEqual(
    [4, 5].map((n_rated) => isYoungPalate({ n_rated })),
    [true, false],
  );
  assert.match(lead({ n_rated: 12, levels: [] }), /^Learned from 12 wines you rated\./);
});

test('the lead of the example counts its notes', () => {
  assert.match(lead({ n_rated: 79, n_wines: 70, levels: [], example: true }), /^Learned from 79 sample notes\./);
});

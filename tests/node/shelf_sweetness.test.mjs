// Dry or sweet on the Shelf: measured sugar before the label's words, those before kind and style.
import assert from 'node:assert/strict';
import test from 'node:test';
import { sweetnessGroup } from '../../static/features/shelf/list/sweetness_group.js';
import { toLabel } from '../../static/features/shelf/list/shelf_rows.js';

const BRUT = 'spk_champagne_brut';
const SAUTERNES = 'swt_sauternes';
const FINO = 'frt_fino';
/** @param {Record<string, any>} fields of a bottle */
const group = (fields) => sweetnessGroup(toLabel(fields));

test('measured sugar tells the sweetness first', () => {
  const still = (/** @type {number} */ residual_sugar_gl, /** @type {any} */ more = {}) =>
    group({ kind: 'still', residual_sugar_gl, ...more });
  assert.deepEqual(
    [3, 8, 20, 45, 120].map((sugar) => still(sugar)),
    ['dry', 'dry', 'in_between', 'in_between', 'sweet'],
  );
  assert.equal(still(8, { total_acidity_gl: 4 }), 'in_between');
  assert.equal(still(120, { label_words: ['dry'] }), 'sweet');
  assert.equal(group({ style: SAUTERNES, residual_sugar_gl: 2 }), 'dry');
  assert.equal(group({ style: FINO, residual_sugar_gl: 60 }), 'sweet');
});

test('sparkling wine has its own limits of sugar', () => {
  const sparkling = [2, 11, 14, 25, 40, 55].map((residual_sugar_gl) => group({ style: BRUT, residual_sugar_gl }));
  assert.deepEqual(sparkling, ['dry', 'dry', 'in_between', 'in_between', 'in_between', 'sweet']);
});

test('a word on the label counts before kind and style', () => {
  assert.equal(group({ style: BRUT, label_words: ['medium_dry'] }), 'in_between');
  assert.equal(group({ style: BRUT, label_words: ['dry'] }), 'in_between');
  assert.equal(group({ kind: 'still', label_words: ['late_harvest', 'dry'] }), 'dry');
  assert.equal(group({ kind: 'sweet', label_words: ['off_dry'] }), 'in_between');
});

test('the kind counts before the style, which comes last', () => {
  assert.equal(group({ kind: 'sweet', style: FINO }), 'sweet');
  assert.deepEqual(
    [BRUT, SAUTERNES, FINO].map((style) => group({ style })),
    ['dry', 'sweet', 'dry'],
  );
  assert.equal(group({ style: BRUT, label_words: ['late_harvest'] }), 'dry');
});

test('nothing tells the sweetness of an unknown wine', () => {
  assert.equal(group({}), null);
  assert.equal(group({ covered: true, residual_sugar_gl: 120 }), null);
});

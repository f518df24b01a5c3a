// Finding an aroma by typed text, in the messages of the English language.
import assert from 'node:assert/strict';
import test from 'node:test';
import { findAromas } from '../../static/domain/aroma/find.js';
import './english.mjs';

const first = (/** @type {string} */ query, own = /** @type {string[]} */ ([])) => findAromas(query, own, 12)[0];

test('an aroma is found by the beginning of its words', () => {
  assert.equal(first('lemon'), 'lemon');
  assert.equal(first('straw'), 'strawberry');
  assert.ok(findAromas('peel', [], 12).includes('lemon_peel'));
  assert.ok(findAromas('citrus', [], 12).includes('lime'), 'by its family');
});

test('an aroma is found with a typo', () => {
  for (const [typed, aroma] of [
    ['strawbery', 'strawberry'],
    ['rasberry', 'raspberry'],
    ['vanila', 'vanilla'],
    ['lether', 'leather'],
    ['honysuckle', 'honeysuckle'],
    ['rasbe', 'raspberry'],
    ['rasbery', 'raspberry'],
    ['liqorise', 'liquorice'],
    ['balck pepper', 'black_pepper'],
  ])
    assert.ok(findAromas(String(typed), [], 12).includes(String(aroma)), typed);
});

test('a typo is sought only where nothing fits', () => {
  assert.ok(!findAromas('rose', [], 12).includes('nose'));
  assert.deepEqual(findAromas('xyzzy', [], 12), []);
  assert.deepEqual(findAromas('xqz', [], 12), []);
});

test('own words are found first, with a typo too', () => {
  assert.equal(first('smoke', ['~smoked tea']), '~smoked tea');
  assert.equal(first('smokd tea', ['~smoked tea']), '~smoked tea');
});

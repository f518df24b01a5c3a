// A faulty glass teaches the Shelf nothing, unless its taster says that it counts.
import assert from 'node:assert/strict';
import test from 'node:test';
import { matches, NO_FILTERS } from '../../static/features/shelf/list/filters.js';
import { shelfRows } from '../../static/features/shelf/list/shelf_rows.js';
import { ownLiking } from '../../static/features/shelf/list/sort.js';
import { row, taster } from './shelf_records.mjs';

const LIKES_BODY = taster({ slope: 1, spread: 1 });
const SOUND = { liking: 9, body: 8, words: 'plums' };
const CORKED = { liking: 2, body: 1, words: 'wet cardboard', faults: ['cork_taint'] };

/** @param {Record<string, any>[]} tastings newest first */
function rowAfter(...tastings) {
  const before = tastings.map((fields, at) => row('tasting', `t${at}`, { bottle: 'b', ...fields }));
  const shelf = {
    picks: [row('pick', 'p', { bottle: 'b' })],
    bottles: new Map([['b', row('bottle', 'b', { style: 'plain', label_abv: 5 })]]),
    tastings: new Map([['b', before]]),
  };
  const by = { preferred: { low: null, high: null }, compact: LIKES_BODY, today: '2026-11-28' };
  const [found] = shelfRows(shelf, by);
  return /** @type {import('../../static/features/shelf/list/shelf_rows.js').ShelfRow} */ (found);
}

test('a faulty glass is not the opinion of its bottle', () => {
  const found = rowAfter(CORKED, SOUND);
  assert.equal(ownLiking(found), 9);
  assert.equal(found.counted[0]?.fields['words'], 'plums');
  assert.equal(ownLiking(rowAfter(CORKED)), null);
  assert.equal(ownLiking(rowAfter({ ...CORKED, fault_counts: true }, SOUND)), 2);
});

test('a faulty glass does not feed the forecast', () => {
  const mean = (/** @type {any[]} */ ...tastings) => rowAfter(...tastings).score?.mean;
  assert.ok(Number(mean(SOUND)) > Number(mean()));
  assert.equal(mean(CORKED, SOUND), mean(SOUND));
  assert.equal(mean(CORKED), mean());
  assert.notEqual(mean({ ...CORKED, fault_counts: true }, SOUND), mean(SOUND));
});

test('a bottle of a faulty glass was tasted all the same', () => {
  const found = rowAfter(CORKED);
  assert.equal(found.before.length, 1);
  assert.ok(!matches(found, { ...NO_FILTERS, untasted: true }));
});

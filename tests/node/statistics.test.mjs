// The figures of "Looking back", and the notes that a row of it opens.
import assert from 'node:assert/strict';
import test from 'node:test';
import { NO_FILTERS, search } from '../../static/features/book/list/search.js';
import { countBottles, countBy } from '../../static/features/book/statistics/statistics.js';

/** @param {string} id @param {string | null} bottle @param {Record<string, any>} about @returns {any} */
const entry = (id, bottle, about = {}) => ({ id, bottle, at: '', liking: null, about: { id: null, ...about } });

test('merged bottles are one, notes without a bottle each one', () => {
  const merged = [entry('1', 'a', { id: 'kept' }), entry('2', 'kept', { id: 'kept' })];
  assert.equal(countBottles(merged), 1);
  assert.equal(countBottles([...merged, entry('3', null), entry('4', null)]), 3);
  // A bottle that this phone does not have yet.
  assert.equal(countBottles([entry('5', 'far'), entry('6', 'far')]), 1);
});

test('the most frequent come first, then the best liked', () => {
  const likings = { few: [9], liked: [8, 6], disliked: [3, 4], unrated: [null, null], unnamed: [null, null] };
  const entries = Object.entries(likings).flatMap(([style, all]) =>
    all.map((liking, at) => ({ ...entry(`${style} ${at}`, style, { style }), liking })),
  );
  const counted = countBy(entries.reverse(), ({ about }) => [about.style]);
  assert.deepEqual(
    counted.map(({ id, liking }) => [id, liking]),
    [
      ['liked', 7],
      ['disliked', 3.5],
      ['unnamed', null],
      ['unrated', null],
      ['few', 9],
    ],
  );
});

test('the row of a grape opens just the notes that it counted', () => {
  const bottles = [['Cabernet Sauvignon'], ['Cabernet Franc', 'Sauvignon Blanc'], ['Cabernet Sauvignon', 'Merlot'], []];
  const entries = bottles.map((grapes, at) => entry(`${at}`, `b${at}`, { id: `b${at}`, grapes }));
  const counted = countBy(entries, ({ about }) => about.grapes);
  assert.equal(counted.find(({ id }) => id === 'Cabernet Sauvignon')?.count, 2);
  for (const { id, count } of counted)
    assert.equal(search(entries, [], { ...NO_FILTERS, grape: id }).length, count, id);
});

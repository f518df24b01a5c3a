// A bottle that is bought joins the stock; one that goes back on the shelf leaves it, if it is still there.
import assert from 'node:assert/strict';
import test from 'node:test';
import { purchase, stockOf, takeBack } from '../../static/features/shelf/list/stock_edits.js';

const BOUGHT_AT = '2026-11-28T12:00:00Z';
const clock = `${Date.parse(BOUGHT_AT)}-0000-aaaaaaaaaaaaaaaaaaaa`;

/** @param {string} kind @param {Record<string, any>} fields @param {Record<string, string>} [clocks] @returns {any} */
const row = (kind, fields, clocks = {}) => ({ kind, id: kind, fields, clocks });

/** @param {number} count @param {{ state?: string, tasted?: string[] }} [more] */
function found(count, { state = 'bought', tasted = [] } = {}) {
  const shown = {
    pick: row('pick', { state }, { state: clock }),
    before: tasted.map((tasted_at) => row('tasting', { tasted_at })),
  };
  const { edits, undo } = takeBack(shown, [row('stock', { count })]);
  return [...edits, ...undo].map(({ id, fields }) => [id, fields.count]);
}

test('a bottle put back leaves the stock, until undone', () => {
  assert.deepEqual(found(2), [
    ['stock', 1],
    ['stock', 2],
  ]);
  assert.deepEqual(found(1, { tasted: ['2026-11-01T20:00:00Z'] }), [
    ['stock', 0],
    ['stock', 1],
  ]);
});

test('the stock stays if the bottle is no longer in it', () => {
  assert.deepEqual(found(0), []);
  assert.deepEqual(found(1, { tasted: ['2026-11-28T13:05:00+01:00'] }), []);
  assert.deepEqual(found(1, { state: 'passed' }), []);
});

test('the stock of a bottle has what names its duplicate', () => {
  const bottles = new Map(
    Object.entries({ kept: {}, twin: { merged_into: 'kept' }, other: {} }).map(([id, fields]) => [
      id,
      { ...row('bottle', fields), id },
    ]),
  );
  const stock = ['other', 'twin', 'kept', 'unknown'].map((bottle) => row('stock', { bottle }));
  const named = (/** @type {any} */ bottle) => stockOf(bottle, { stock, bottles }).map(({ fields }) => fields.bottle);
  assert.deepEqual(named(bottles.get('kept')), ['twin', 'kept']);
  assert.deepEqual(named(null), []);
});

test('undoing a purchase is one commit of shelf and stock', () => {
  const bought = { pick: row('pick', {}), bottle: row('bottle', {}) };
  const owned = purchase(bought, [row('stock', { count: 2 })]);
  assert.deepEqual(owned.edits, [
    { kind: 'pick', id: 'pick', fields: { state: 'bought' } },
    { kind: 'stock', id: 'stock', fields: { bottle: 'bottle', count: 3 } },
  ]);
  assert.deepEqual(owned.undo, [
    { kind: 'pick', id: 'pick', fields: { state: 'open' } },
    { kind: 'stock', id: 'stock', fields: { count: 2 }, by: -1 },
  ]);
  const first = purchase(bought, []);
  const id = first.edits[1]?.id;
  assert.equal(first.edits[1]?.fields?.count, 1);
  assert.deepEqual(first.undo[1], { kind: 'stock', id, deleted: true, by: -1 });
  assert.equal(purchase({ ...bought, bottle: null }, []).undo.length, 1);
});

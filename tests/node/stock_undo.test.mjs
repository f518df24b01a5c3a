// Undoing a change of the stock after another tab or phone has changed the count too.
import assert from 'node:assert/strict';
import test from 'node:test';
import { addToCount } from '../../static/domain/stock_count.js';
import { purchase, takeBack } from '../../static/features/shelf/list/stock_edits.js';
import { record } from '../../static/store/queries.js';
import { commitEdits, newId, save } from '../../static/store/write.js';
import { useEmptyBook } from './support.mjs';

useEmptyBook();

/** @returns {Promise<any>} a pick that is bought, and its bottle */
async function bought() {
  const bottle = await record('bottle', await save('bottle', newId(), {}));
  const pick = await record('pick', await save('pick', newId(), { bottle: bottle?.id, state: 'bought' }));
  return { pick, bottle, before: [] };
}

/** @param {number | null} count of the stock, if there is one @param {any} shown */
async function stockWith(count, { bottle }) {
  if (count === null) return [];
  return [/** @type {any} */ (await record('stock', await save('stock', newId(), { bottle: bottle.id, count })))];
}

/**
 * @param {typeof purchase | typeof takeBack} change
 * @param {number | null} before @param {number} meanwhile what another tab counts before the undo
 * @returns {Promise<[number, number]>} the count after it, and whether the stock is gone
 */
async function undone(change, before, meanwhile) {
  const shown = await bought();
  const { edits, undo } = change(shown, await stockWith(before, shown));
  await commitEdits(edits);
  const id = /** @type {string} */ (edits.at(-1)?.id);
  await save('stock', id, { count: meanwhile });
  await commitEdits(undo, addToCount);
  const { fields, gone } = /** @type {any} */ (await record('stock', id));
  return [fields.count, gone];
}

test('an undone purchase takes one from what is there', async () => {
  assert.deepEqual(await undone(purchase, 2, 3), [2, 0]);
  assert.deepEqual(await undone(purchase, 2, 8), [7, 0]);
  assert.deepEqual(await undone(purchase, 2, 0), [0, 0]);
});

test('an undone first purchase leaves what others added', async () => {
  assert.deepEqual(await undone(purchase, null, 1), [1, 1]);
  assert.deepEqual(await undone(purchase, null, 4), [3, 0]);
});

test('a bottle that goes home again is added to what is there', async () => {
  assert.deepEqual(await undone(takeBack, 2, 1), [2, 0]);
  assert.deepEqual(await undone(takeBack, 2, 6), [7, 0]);
});

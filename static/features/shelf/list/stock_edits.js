// What buying a bottle of the shelf, and putting it back there, changes in the stock.
import { today } from '../../../lib/datetime.js';
import { newId } from '../../../store/record.js';
import { resolveBottle } from '../../../domain/bottle_names.js';
import { clockMs } from '../../../store/hlc.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../store/write.js').Edit} Edit */
/** @typedef {import('../../../domain/stock_count.js').CountEdit} CountEdit */

/**
 * @param {Row | null} bottle
 * @param {{ stock: Row[], bottles: Map<string, Row> }} shelf
 * @returns {Row[]} its stock, also what names a duplicate that was merged into it
 */
export function stockOf(bottle, { stock, bottles }) {
  return stock.filter(({ fields }) => bottle && resolveBottle(bottles, fields['bottle'])?.id === bottle.id);
}

/**
 * Mark a pick as bought, and add one bottle to the stock.
 * @param {Pick<import('./shelf_rows.js').ShelfRow, 'pick' | 'bottle'>} row
 * @param {Row[]} stock of its bottle
 * @returns {{ edits: Edit[], undo: CountEdit[] }} each to be committed at once, the latter by `addToCount()`
 */
export function purchase({ pick, bottle }, [inStock]) {
  const setState = (/** @type {string} */ state) =>
    /** @type {Edit} */ ({ kind: 'pick', id: pick.id, fields: { state } });
  const edits = [setState('bought')];
  /** @type {CountEdit[]} */
  const undo = [setState(pick.fields['state'] ?? 'open')];
  if (!bottle) return { edits, undo };
  const count = inStock?.fields['count'] ?? 0;
  const named = { kind: /** @type {const} */ ('stock'), id: inStock?.id ?? newId() };
  const since = inStock ? {} : { since: today() };
  edits.push({ ...named, fields: { bottle: bottle.id, count: count + 1, ...since } });
  undo.push({ ...named, ...(inStock ? { fields: { count } } : { deleted: true }), by: -1 });
  return { edits, undo };
}

/**
 * Take out the bottle that buying added, unless none is left or one was opened since.
 * @param {Pick<import('./shelf_rows.js').ShelfRow, 'pick' | 'before'>} row
 * @param {Row[]} stock of its bottle
 * @returns {{ edits: Edit[], undo: CountEdit[] }} the latter to be committed by `addToCount()`
 */
export function takeBack({ pick, before }, stock) {
  const left = stock.find(({ fields }) => fields['count'] > 0);
  const bought = pick.fields['state'] === 'bought' && pick.clocks['state'];
  if (!left || !bought || before.some(({ fields }) => Date.parse(fields['tasted_at']) >= clockMs(bought)))
    return { edits: [], undo: [] };
  const { count } = left.fields;
  const named = { kind: /** @type {const} */ ('stock'), id: left.id };
  return { edits: [{ ...named, fields: { count: count - 1 } }], undo: [{ ...named, fields: { count }, by: 1 }] };
}

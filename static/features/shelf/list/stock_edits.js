// What putting a bought bottle back on the shelf changes in the stock.
import { resolveBottle } from '../../../domain/bottle_names.js';
import { clockMs } from '../../../store/hlc.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {{ kind: 'stock', id: string, fields: { count: number } }[]} StockEdits */

/**
 * @param {Row | null} bottle
 * @param {{ stock: Row[], bottles: Map<string, Row> }} shelf
 * @returns {Row[]} its stock, also what names a duplicate that was merged into it
 */
export function stockOf(bottle, { stock, bottles }) {
  return stock.filter(({ fields }) => bottle && resolveBottle(bottles, fields['bottle'])?.id === bottle.id);
}

/**
 * Take out the bottle that buying added, unless none is left or one was opened since.
 * @param {Pick<import('./shelf_rows.js').ShelfRow, 'pick' | 'before'>} row
 * @param {Row[]} stock of its bottle
 * @returns {{ edits: StockEdits, undo: StockEdits }}
 */
export function takeBack({ pick, before }, stock) {
  const left = stock.find(({ fields }) => fields['count'] > 0);
  const bought = pick.fields['state'] === 'bought' && pick.clocks['state'];
  if (!left || !bought || before.some(({ fields }) => Date.parse(fields['tasted_at']) >= clockMs(bought)))
    return { edits: [], undo: [] };
  const { count } = left.fields;
  const setCount = (/** @type {number} */ to) => [
    { kind: /** @type {const} */ ('stock'), id: left.id, fields: { count: to } },
  ];
  return { edits: setCount(count - 1), undo: setCount(count) };
}

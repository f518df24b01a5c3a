// What putting a bought bottle back on the shelf changes in the stock.
import { clockMs } from '../../../store/hlc.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {{ kind: 'stock', id: string, fields: { count: number } }[]} StockEdits */

/**
 * Take out the bottle that buying added, unless none is left or one was opened since.
 * @param {Pick<import('./shelf_rows.js').ShelfRow, 'pick' | 'bottle' | 'before'>} row
 * @param {Row[]} stock
 * @returns {{ edits: StockEdits, undo: StockEdits }}
 */
export function takeBack({ pick, bottle, before }, stock) {
  const left = stock.find(({ fields }) => bottle && fields['bottle'] === bottle.id && fields['count'] > 0);
  const bought = pick.fields['state'] === 'bought' && pick.clocks['state'];
  if (!left || !bought || before.some(({ fields }) => Date.parse(fields['tasted_at']) >= clockMs(bought)))
    return { edits: [], undo: [] };
  const { count } = left.fields;
  const setCount = (/** @type {number} */ to) => [
    { kind: /** @type {const} */ ('stock'), id: left.id, fields: { count: to } },
  ];
  return { edits: setCount(count - 1), undo: setCount(count) };
}

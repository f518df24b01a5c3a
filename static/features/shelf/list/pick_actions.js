// Marks picks as bought or skipped, with undo.
import { t } from '../../../i18n.js';
import { keepRowFocus } from '../../../components/layout/row_focus.js';
import { showToast } from '../../../components/layout/toast.js';
import { commitEdits, remove, restore, save } from '../../../store/write.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { addToCount } from '../../../domain/stock_count.js';
import { shelf } from './shelf_state.js';
import { purchase, stockOf, takeBack } from './stock_edits.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

/** Mark as bought, and add one bottle to the stock. @param {ShelfRow} row */
export async function markBought(row) {
  const { edits, undo } = purchase(row, stockOf(row.bottle, shelf.value));
  const returnFocus = keepRowFocus();
  await commitEdits(edits);
  showToast(t('shelf.was_bought', { name: bottleName(row.bottle) }), () => {
    commitEdits(undo, addToCount);
    returnFocus();
  });
}

/** @param {ShelfRow} row */
export async function markSkipped({ pick, bottle }) {
  const before = pick.fields['state'] ?? 'open';
  const returnFocus = keepRowFocus();
  await save('pick', pick.id, { state: 'passed' });
  showToast(t('shelf.was_passed', { name: bottleName(bottle) }), () => {
    save('pick', pick.id, { state: before });
    returnFocus();
  });
}

/** @param {ShelfRow} row */
export async function reopenPick(row) {
  const { pick, bottle } = row;
  const stocked = takeBack(row, stockOf(bottle, shelf.value));
  const { id } = pick;
  await commitEdits([{ kind: 'pick', id, fields: { state: 'open' } }, ...stocked.edits]);
  showToast(t('shelf.was_reopened', { name: bottleName(bottle) }), () => {
    commitEdits([{ kind: 'pick', id, fields: { state: pick.fields['state'] } }, ...stocked.undo], addToCount);
  });
}

/** @param {ShelfRow} row */
export async function removePick({ pick, bottle }) {
  await remove('pick', pick.id);
  showToast(t('shelf.was_removed', { name: bottleName(bottle) }), () => {
    restore('pick', pick.id);
  });
}

// Ends a table. In the same step the leader's own notes become tastings of the notebook.
import { t } from '../../i18n.js';
import { timestamp } from '../../lib/datetime.js';
import { commitEdits, readAfterWrites } from '../../store/write.js';
import { showToast } from '../../components/layout/toast.js';
import { tableMoment } from '../../domain/table/moment.js';
import { countTastings, notInNotebook, ownTastings } from '../../domain/table/own_notes.js';
import { readTable } from '../../domain/table/table_records.js';
import { undoing } from './show_with_undo.js';

/** @typedef {import('../../domain/table/table_records.js').TableRecords} TableRecords */

/**
 * @param {string} tableId of the table, which is read anew for the last answers
 * @param {import('../../domain/table/flow.js').Edit[]} [shown] what guests are shown in the same step
 */
export async function endTable(tableId, shown = []) {
  const table = await readAfterWrites(() => readTable(tableId));
  if (!table.row) return;
  const { id, fields } = table.row;
  const own = await notInNotebook(ownTastings(table, timestamp()));
  const ended = { ended_at: tableMoment(), open_glass: null, open_step: null };
  const before = Object.fromEntries(Object.keys(ended).map((field) => [field, fields[field] ?? null]));
  const kind = /** @type {const} */ ('group_tasting');
  await commitEdits([...shown, { kind, id, fields: ended }, ...own.map((edit) => ({ ...edit, deleted: false }))]);
  const count = countTastings(own);
  showToast(count ? t('table.ended_own', { count }) : t('table.ended'), () => {
    commitEdits([
      ...undoing(table, shown),
      { kind, id, fields: before },
      ...own.map((edit) => ({ kind: edit.kind, id: edit.id, deleted: true })),
    ]);
  });
}

/** Put own notes that are not in the notebook yet into it. @param {TableRecords} table */
export async function keepOwnNotes(table) {
  const own = await notInNotebook(ownTastings(table, timestamp()));
  if (own.length) await commitEdits(own.map((edit) => ({ ...edit, deleted: false })));
}

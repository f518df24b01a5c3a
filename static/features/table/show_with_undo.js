// Lays the answers of a glass open, with a way back.
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { tableMoment } from '../../domain/table/moment.js';
import { showAnswers } from '../../domain/table/flow.js';
import { saveAndSend } from './save_and_send.js';

/** @typedef {import('../../domain/table/flow.js').Edit} Edit */
/** @typedef {import('../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {TableRecords} table @param {import('../../store/record.js').Row} glass */
export async function showWithUndo(table, glass) {
  const edits = showAnswers(table, glass, tableMoment());
  await saveAndSend(edits);
  showToast(t('table.laid_open'), () => {
    saveAndSend(undoing(table, edits));
  });
}

/**
 * @param {Pick<TableRecords, 'row' | 'glasses'>} table before the edits
 * @param {Edit[]} edits
 * @returns {Edit[]} that bring back the values before
 */
export function undoing({ row, glasses }, edits) {
  return edits.map((edit) => {
    const fields = [row, ...glasses].find((one) => one?.id === edit.id)?.fields ?? {};
    const before = Object.keys(edit.fields).map((field) => [field, fields[field] ?? null]);
    return { ...edit, fields: Object.fromEntries(before) };
  });
}

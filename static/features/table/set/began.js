// Warns who sets a table that guests have answered, as at everybody's own pace, where nobody waits for the start.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { hasAnyAnswer } from '../../../domain/table/steps.js';
import { visitors } from '../../../domain/table/table_records.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: Pick<TableRecords, 'guests' | 'sheets'> }} props */
export function Began({ table }) {
  const guests = visitors(table).map(({ id }) => id);
  const isBegun = table.sheets.some(({ fields }) => guests.includes(fields['guest']) && hasAnyAnswer(fields));
  return isBegun && html`<p class="notice" role="status">${t('table.guests_began')}</p>`;
}

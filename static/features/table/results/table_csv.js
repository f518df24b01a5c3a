// The answers of a table as CSV: one row for each guest and glass; the headings are field ids.
import { csvText } from '../../../lib/csv_text.js';
import { GROUP_STEPS, fieldsOfStep } from '../../../domain/table/steps.js';

const COLUMNS = GROUP_STEPS.flatMap(fieldsOfStep);

/**
 * @param {import('../../../domain/table/table_records.js').TableRecords} table
 * @param {(id: string) => string} guestName
 */
export function tableCsv({ row: table, glasses, guests, sheets }, guestName) {
  const { on, leader_name: leader } = table?.fields ?? {};
  const markOf = (/** @type {string | undefined} */ id) => glasses.find((glass) => glass.id === id)?.fields['mark'];
  const rows = glasses.flatMap((glass) =>
    guests.flatMap((guest) => {
      const sheet = sheets.find(({ fields }) => fields['glass'] === glass.id && fields['guest'] === guest.id);
      if (!sheet) return [];
      const answers = COLUMNS.map((field) =>
        cell(field === 'guess_same_as' ? markOf(sheet.fields[field]) : sheet.fields[field]),
      );
      const of = [glass.fields['mark'], guestName(guest.id), on, leader].map(cell);
      return [[...of, ...answers]];
    }),
  );
  const lines = [['glass', 'guest', 'on', 'leader', ...COLUMNS], ...rows].map((row) => row.join(','));
  // The mark tells spreadsheets that the file is UTF-8.
  return `\ufeff${lines.join('\r\n')}\r\n`;
}

/** @param {unknown} value */
function cell(value) {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number') return String(value);
  return csvText(Array.isArray(value) ? value.join(' ') : String(value));
}

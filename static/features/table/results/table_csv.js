// The answers of a table as CSV: one row for each guest and glass; the headings are field ids.
import { GROUP_STEPS, fieldsOfStep } from '../../../domain/table/steps.js';

const COLUMNS = GROUP_STEPS.flatMap(fieldsOfStep);
// As in webapp/archive/csv.py: the characters are those of the OWASP page on CSV injection, and some
// spreadsheets split cells at a semicolon or a tab, and rows at a line break within quotes.
const FORMULA = /^[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/;
const INNER_FORMULA = /([;\t\r\n]["' ]*)(?=[=+@\uff1d\uff0b\uff0d\uff20-])/g;

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

/** Quote a value (RFC 4180); a text that would run as a formula gets an apostrophe. @param {unknown} value */
function cell(value) {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number') return String(value);
  const plain = (Array.isArray(value) ? value.join(' ') : String(value)).replace(INNER_FORMULA, "$1'");
  const text = FORMULA.test(plain) ? `'${plain}` : plain;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

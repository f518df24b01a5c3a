// Who sits at the table, in words: guests, the leader apart; after the end all who were there.
import { t } from '../../i18n.js';
import { present, visitors } from '../../domain/table/table_records.js';

/** @param {import('../../domain/table/table_records.js').TableRecords} table */
export function whoIsThere(table) {
  const isOver = Boolean(table.row?.fields['ended_at']);
  const count = (isOver ? visitors : present)(table).length;
  if (!count) return t(isOver ? 'table.guests_none' : 'table.guests_awaited');
  return t(table.guests.length > visitors(table).length ? 'table.you_and' : 'table.guest_count', { count });
}

// Who sits at the table, in words: guests, the leader apart.
import { t } from '../../i18n.js';
import { visitors } from '../../domain/table/table_records.js';

/** @param {import('../../domain/table/table_records.js').TableRecords} table */
export function whoIsThere(table) {
  const count = visitors(table).length;
  if (!count) return t(table.row?.fields['ended_at'] ? 'table.guests_none' : 'table.guests_awaited');
  return t(table.guests.length > count ? 'table.you_and' : 'table.guest_count', { count });
}

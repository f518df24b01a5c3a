// Reads a table with the answers that guests have just sent, before something is decided by them.
import { readAfterWrites } from '../../store/write.js';
import { syncNow } from '../../sync/index.js';
import { readTable } from '../../domain/table/table_records.js';
import { hasPhones } from './silent_phones.js';

/** Longer nobody waits after a tap; then what is here decides. */
const MOST_MS = 2_000;

/**
 * @param {import('../../domain/table/table_records.js').TableRecords} table
 * @returns {Promise<import('../../domain/table/table_records.js').TableRecords>}
 */
export async function newest(table) {
  if (hasPhones(table)) await Promise.race([syncNow(), new Promise((resolve) => setTimeout(resolve, MOST_MS))]);
  return readAfterWrites(() => readTable(table.row?.id ?? ''));
}

/**
 * The server was restored from a backup or replaced, so nothing counts as confirmed any more. Runs
 * inside the transaction of `applyResponse`.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 */
import { requeue, hasChanges } from '../store/outbox.js';
import { kinds } from '../store/record.js';

/** Rows per batch, so that a large notebook does not block input. */
const BATCH_SIZE = 200;

/**
 * Put all records into the outbox. Reading all of the server's records removes those that it still
 * has.
 * @param {Transaction} tx
 */
export async function markAllUnconfirmed(tx) {
  for (const table of [...kinds, 'unknown_kind']) {
    for (let after = ''; ;) {
      const rows = await tx.table(table).where(':id').above(after).limit(BATCH_SIZE).toArray();
      if (rows.length === 0) break;
      const before = await tx.outbox.bulkGet(rows.map((row) => row.id));
      await tx.outbox.bulkPut(rows.map((row, place) => requeue(row, before[place])).filter(hasChanges));
      after = rows[rows.length - 1].id;
    }
  }
}

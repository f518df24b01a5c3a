/**
 * The server was restored from an older copy, or replaced: nothing that it once confirmed counts as confirmed.
 * Inside the transaction of `take`.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 */
import { requeue, hasChanges } from '../store/outbox.js';
import { kinds } from '../store/record.js';

/** Rows in one go, as in page.js: a book of ten years must not hold up the taster. */
const BATCH_SIZE = 200;

/**
 * Puts the whole book into the outbox; reading the server's from the start takes out again what it does hold.
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

/**
 * The server was restored from an older copy, or replaced: nothing that it once confirmed counts as confirmed.
 * Inside the transaction of `take`.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 */
import { requeue, hasChanges } from '../store/outbox.js';
import { kinds } from '../store/record.js';

/** Rows in one go, as in page.js: a book of ten years must not hold up the taster. */
const LOT = 200;

/**
 * Puts the whole book into the outbox; reading the server's from the start takes out again what it does hold.
 * @param {Transaction} book
 */
export async function markAllUnconfirmed(book) {
  for (const table of [...kinds, 'unknown_kind']) {
    for (let after = ''; ;) {
      const rows = await book.table(table).where(':id').above(after).limit(LOT).toArray();
      if (rows.length === 0) break;
      const before = await book.outbox.bulkGet(rows.map((row) => row.id));
      await book.outbox.bulkPut(rows.map((row, place) => requeue(row, before[place])).filter(hasChanges));
      after = rows[rows.length - 1].id;
    }
  }
}

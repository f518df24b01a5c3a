/**
 * The server was restored from an older copy, or replaced: nothing that it once confirmed counts as confirmed.
 * Inside the transaction of `take`.
 *
 * @typedef {import('../tables.js').Book} Book
 */
import { wholeUnsent } from '../outbox.js';
import { kinds } from '../record.js';

/**
 * Puts the whole book into the outbox; reading the server's from the start takes out again what it does hold.
 * @param {Book} book
 */
export async function markAllUnconfirmed(book) {
  for (const table of [...kinds, 'unknown_kind']) {
    const rows = await book.table(table).toArray();
    await book.outbox.bulkPut(rows.map(wholeUnsent));
  }
}

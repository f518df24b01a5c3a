// Reads a whole table in pieces, so that taps and saves need not wait for all of it.
import { db, withReconnect } from './database.js';

/** @typedef {import('./record.js').Row} Row */
/** @typedef {import('./record.js').Kind} Kind */

/** Rows of one read: a slow phone reads so many in a frame or two. */
const PIECE = 200;

/**
 * Read all records in pieces. What is written meanwhile may be missed.
 * @param {Kind} kind
 * @param {(row: Row) => unknown} visit called for each record, deleted ones too, in order of the ids; true ends it
 */
export async function visitAll(kind, visit) {
  for (let last = ''; ;) {
    const rows = await withReconnect(() => db[kind].where('id').above(last).limit(PIECE).toArray());
    for (const row of rows) if (visit(row) === true) return;
    if (rows.length < PIECE) return;
    last = /** @type {Row} */ (rows[rows.length - 1]).id;
  }
}

/**
 * Isolates a record that makes the server fail: requests get smaller until it is alone and all
 * others are sent.
 *
 * @typedef {import('../store/record.js').BookRecord} BookRecord
 */
import { transaction } from '../store/database.js';
import { backoffMs } from '../store/backoff.js';
import { reject } from './outcomes.js';

/**
 * @param {BookRecord} change would always fail; it is marked as rejected until the user fixes it
 * @param {import('../store/validate.js').FieldErrors} errors
 */
export async function quarantine(change, errors) {
  await transaction('rw', ['outbox'], async (tx) => {
    const row = await tx.outbox.get(change.id);
    const left = row && reject(row, change, errors);
    if (left) await tx.outbox.put(left);
    else await tx.outbox.delete(change.id);
  });
}

/** @param {BookRecord} change caused a server error; it is retried with growing delays */
export async function retryLater(change) {
  await transaction('rw', ['outbox'], async (tx) => {
    const row = await tx.outbox.get(change.id);
    if (!row) return;
    const tries = row.tries + 1;
    await tx.outbox.put({ ...row, held: 2, tries, not_before_ms: Date.now() + backoffMs(tries) });
  });
}

/**
 * Isolates a record that makes the server fail: requests get smaller until it is alone and all
 * others are sent. Also tries rejected records again.
 *
 * @typedef {import('../store/record.js').BookRecord} BookRecord
 */
import { transaction } from '../store/database.js';
import { backoffMs } from '../store/backoff.js';
import { reject } from './outcomes.js';

/** Why a record is held that is too large for one request. Earlier releases said too_big, as the server does. */
export const TOO_BIG_TO_SEND = 'too_big_to_send';

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

/**
 * Send rejected records again, once after each start of the app: the server may have been updated
 * since, or its quota raised. A record that was too large for one request stays.
 */
export async function retryRejected() {
  await transaction('rw', ['outbox'], async (tx) => {
    const rows = await tx.outbox.where('held').equals(1).toArray();
    const again = rows.filter(({ errors }) => !errors?.['record']?.some(({ code }) => code === TOO_BIG_TO_SEND));
    await tx.outbox.bulkPut(again.map((row) => ({ ...row, held: /** @type {const} */ (0) })));
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

/**
 * Stage 3: applies the outcomes of the sent changes. Runs inside the transaction of
 * `applyResponse`.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 * @typedef {import('../store/database.js').OutboxEntry} OutboxEntry
 * @typedef {import('../store/record.js').BookRecord} BookRecord
 */
import { toChange, toChanges, withRevisions, withoutAcknowledged } from '../store/outbox.js';
import { isEqual } from '../store/canonical.js';

/**
 * @param {Transaction} tx
 * @param {import('./transport.js').Outcome[]} outcomes in the order of `sent`
 * @param {BookRecord[]} sent
 * @returns {Promise<{ accepted: number, rejected: number, restamp: boolean }>}
 */
export async function applyOutcomes(tx, outcomes, sent) {
  const counts = { accepted: 0, rejected: 0, restamp: false };
  if (sent.length === 0) return counts;
  const rows = await rowsOf(tx, [...new Set(sent.map((change) => change.id))]);
  /**
   * @type {Map<string, OutboxEntry | null>} the remaining entry by record; a record may have been
   *   sent with superseded values
   */
  const left = new Map();
  sent.forEach((change, place) => {
    const outcome = outcomes[place];
    const row = left.has(change.id) ? left.get(change.id) : rows.get(change.id);
    if (!row || !outcome || (outcome.id !== null && outcome.id !== change.id)) return;
    if (outcome.outcome === 'restamp') {
      counts.restamp = true;
      return;
    }
    counts[outcome.outcome === 'refused' ? 'rejected' : 'accepted'] += 1;
    const next = outcome.outcome === 'refused' ? reject(row, change, outcome.errors) : withoutAcknowledged(row, change);
    left.set(row.id, next && { ...next, held: next.held === 2 ? 0 : next.held, tries: 0 });
  });
  await tx.outbox.bulkPut([...left.values()].flatMap((row) => row ?? []));
  const done = [...left].flatMap(([id, row]) => (row ? [] : [id]));
  await dropRows(tx, done, done.length === rows.size);
  return counts;
}

/**
 * @param {import('./transport.js').Outcome[]} outcomes
 * @param {BookRecord[]} sent
 */
export function allAccepted(outcomes, sent) {
  return sent.length > 0 && confirmed(outcomes, sent).length === sent.length;
}

/**
 * @param {import('./transport.js').Outcome[]} outcomes
 * @param {BookRecord[]} sent
 * @returns {BookRecord[]} sent changes that the server now has, in the record or in the revisions
 */
export function confirmed(outcomes, sent) {
  return sent.filter(({ id }, place) => {
    const outcome = outcomes[place];
    return outcome?.id === id && (outcome.outcome === 'applied' || outcome.outcome === 'duplicate');
  });
}

/**
 * Delete accepted entries without reading them. Possible only if all were accepted and nothing was
 * saved meanwhile.
 * @param {Transaction} tx
 * @param {BookRecord[]} sent
 * @returns {Promise<{ accepted: number, rejected: number, restamp: boolean }>}
 */
export async function removeAccepted(tx, sent) {
  const ids = [...new Set(sent.map((change) => change.id))];
  // Compares ids and not numbers, because a page may have removed some of them while others lie between.
  const alone = ids.length >= RANGE_MIN && isEqual(await rangeOf(tx, ids).primaryKeys(), [...ids].sort());
  await dropRows(tx, ids, alone);
  return { accepted: sent.length, rejected: 0, restamp: false };
}

/** Below this number, single reads are as fast as a range. */
const RANGE_MIN = 50;

/**
 * Read the entries of a request. It has neighbouring ids, and a range is read much faster than
 * single rows.
 * @param {Transaction} tx
 * @param {string[]} ids
 * @returns {Promise<Map<string, OutboxEntry>>} also rows between them
 */
async function rowsOf(tx, ids) {
  const rows = ids.length < RANGE_MIN ? await tx.outbox.bulkGet(ids) : await rangeOf(tx, ids).toArray();
  return new Map(rows.flatMap((row) => (row ? [[row.id, row]] : [])));
}

/**
 * @param {Transaction} tx
 * @param {string[]} ids
 * @param {boolean} alone whether no other rows lie between them
 */
async function dropRows(tx, ids, alone) {
  if (ids.length < RANGE_MIN || !alone) await tx.outbox.bulkDelete(ids);
  else await rangeOf(tx, ids).delete();
}

/** @param {Transaction} tx @param {string[]} ids */
function rangeOf(tx, ids) {
  const sorted = [...ids].sort();
  return tx.outbox.where(':id').between(sorted[0], sorted.at(-1), true, true);
}

/**
 * Mark a change as rejected. If the record was edited after sending, it is sent again. A rejected
 * superseded value is dropped, because nobody can fix it and it must not block the record.
 * @param {OutboxEntry} row
 * @param {BookRecord} sent
 * @param {import('../store/validate.js').FieldErrors} [errors]
 * @returns {OutboxEntry | null} null if nothing is left
 */
export function reject(row, sent, errors) {
  const earlier = (row.earlier ?? []).filter((delta) => !isEqual({ ...delta, kind: row.kind, id: row.id }, sent));
  if (earlier.length < (row.earlier ?? []).length) return nothingIfEmpty(withRevisions(row, earlier));
  if (!isEqual(toChange(row), sent)) return row;
  return { ...row, held: 1, errors: errors ?? { record: [{ code: 'refused' }] } };
}

/** @param {OutboxEntry} row */
function nothingIfEmpty(row) {
  return toChanges(row).length === 0 ? null : row;
}

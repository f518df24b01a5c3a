/**
 * What the server has not confirmed, one row a record. Pure: the rows go in and out of the table elsewhere.
 *
 * @typedef {import('./tables.js').Unsent} Unsent
 * @typedef {import('./record.js').BookRecord} BookRecord
 */
import { sameValue } from './canonical.js';

/** @param {BookRecord['kind']} kind @param {string} id @returns {Unsent} */
export function emptyUnsent(kind, id) {
  return {
    kind, id, fields: {}, clocks: {}, deleted: false, deleted_clock: null,
    held: 0, errors: null, tries: 0, not_before_ms: 0,
  };
}

/**
 * Everything that a record says, unconfirmed.
 * @param {BookRecord} record
 * @returns {Unsent}
 */
export function wholeUnsent({ kind, id, fields, clocks, deleted, deleted_clock }) {
  return { ...emptyUnsent(kind, id), fields, clocks, deleted, deleted_clock };
}

/** @param {Unsent} row @returns {BookRecord} the change as it goes on the wire */
export function asChange({ kind, id, fields, clocks, deleted, deleted_clock }) {
  return { kind, id, fields, clocks, deleted, deleted_clock };
}

/**
 * What is left to send when the server has taken `sent`; an edit made meanwhile has a later clock and stays.
 * @param {Unsent} row
 * @param {BookRecord} sent
 * @returns {Unsent | null} null where nothing is left
 */
export function withoutSent(row, sent) {
  return without(row, (field) => sent.clocks[field] === row.clocks[field], sent.deleted_clock === row.deleted_clock);
}

/**
 * What is left to send when the server is seen to hold `theirs`. An older value stays in the row although it has lost:
 * the server must hear of it to keep it among the earlier versions.
 * @param {Unsent} row
 * @param {BookRecord} theirs
 * @returns {Unsent | null}
 */
export function withoutSeen(row, theirs) {
  const seen = (/** @type {string} */ field) => theirs.clocks[field] === row.clocks[field]
    && sameValue(theirs.fields[field] ?? null, row.fields[field] ?? null);
  return without(row, seen, theirs.deleted_clock === row.deleted_clock && theirs.deleted === row.deleted);
}

/**
 * @param {Unsent} row
 * @param {(field: string) => boolean} confirmed
 * @param {boolean} deletionConfirmed
 * @returns {Unsent | null}
 */
function without(row, confirmed, deletionConfirmed) {
  const open = Object.keys(row.clocks).filter((field) => !confirmed(field));
  const deletionOpen = row.deleted_clock !== null && !deletionConfirmed;
  if (open.length === 0 && !deletionOpen) return null;
  return {
    ...row,
    fields: Object.fromEntries(open.map((field) => [field, row.fields[field] ?? null])),
    clocks: Object.fromEntries(open.map((field) => [field, String(row.clocks[field])])),
    deleted: deletionOpen && row.deleted,
    deleted_clock: deletionOpen ? row.deleted_clock : null,
  };
}

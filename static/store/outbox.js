/**
 * Outbox entries: unconfirmed changes, one entry per record. Pure functions; the callers read and
 * write the table.
 *
 * @typedef {import('./database.js').OutboxEntry} OutboxEntry
 * @typedef {import('./database.js').Delta} Delta
 * @typedef {import('./record.js').BookRecord} BookRecord
 */
import { isEqual } from './canonical.js';

/** @param {BookRecord['kind']} kind @param {string} id @returns {OutboxEntry} */
export function emptyEntry(kind, id) {
  return {
    kind,
    id,
    fields: {},
    clocks: {},
    deleted: false,
    deleted_clock: null,
    held: 0,
    errors: null,
    tries: 0,
    not_before_ms: 0,
  };
}

/**
 * Create an entry with the whole record as unconfirmed.
 * @param {BookRecord} record
 * @returns {OutboxEntry}
 */
export function entryOf({ kind, id, fields, clocks, deleted, deleted_clock }) {
  return { ...emptyEntry(kind, id), fields, clocks, deleted, deleted_clock };
}

/**
 * Create an entry as `entryOf` does, and keep the unconfirmed values of the previous one.
 * @param {BookRecord} record
 * @param {OutboxEntry | undefined} before
 * @returns {OutboxEntry}
 */
export function requeue(record, before) {
  const entry = entryOf(record);
  if (!before) return entry;
  const other = pendingPart(
    before,
    (field) => before.clocks[field] === record.clocks[field],
    before.deleted_clock === record.deleted_clock,
  );
  return withRevisions(entry, [...(before.earlier ?? []), ...(other ? [other] : [])]);
}

/**
 * @param {OutboxEntry} row
 * @returns {BookRecord} the change in wire format
 */
export function toChange({ kind, id, fields, clocks, deleted, deleted_clock }) {
  return { kind, id, fields, clocks, deleted, deleted_clock };
}

/**
 * @param {OutboxEntry} row
 * @returns {BookRecord[]} all changes to send, oldest first
 */
export function toChanges(row) {
  const { kind, id, earlier = [] } = row;
  const before = earlier.map((delta) => ({ kind, id, ...delta }));
  return isEmpty(row) ? before : [...before, toChange(row)];
}

/**
 * @param {OutboxEntry} row
 * @returns {boolean} whether there is anything to send; an empty entry would never be removed
 */
export function hasChanges(row) {
  return toChanges(row).length > 0;
}

/**
 * @param {OutboxEntry} row
 * @param {Delta[]} earlier
 * @returns {OutboxEntry}
 */
export function withRevisions({ earlier: _, ...row }, earlier) {
  return earlier.length === 0 ? row : { ...row, earlier };
}

/**
 * Remove what the server has accepted. An edit made after sending has a later clock and stays.
 * @param {OutboxEntry} row
 * @param {BookRecord} sent
 * @returns {OutboxEntry | null} null if nothing is left
 */
export function withoutAcknowledged(row, sent) {
  return without(row, (delta) =>
    pendingPart(
      delta,
      (field) => sent.clocks[field] === delta.clocks[field],
      sent.deleted_clock === delta.deleted_clock,
    ),
  );
}

/**
 * Remove what the server's record confirms. Superseded values stay, because the server needs them
 * for the revision log.
 * @param {OutboxEntry} row
 * @param {BookRecord} theirs
 * @returns {OutboxEntry | null}
 */
export function withoutConfirmed(row, theirs) {
  return without(row, (delta) =>
    pendingPart(
      delta,
      (field) =>
        theirs.clocks[field] === delta.clocks[field] &&
        isEqual(theirs.fields[field] ?? null, delta.fields[field] ?? null),
      theirs.deleted_clock === delta.deleted_clock && theirs.deleted === delta.deleted,
    ),
  );
}

/**
 * Return the values of the entry that a new edit supersedes and that were never sent.
 * @param {OutboxEntry} row
 * @param {Partial<Delta>} newer the new edit
 * @param {(clock: string) => boolean} isDraft whether a value is too recent for a revision
 * @returns {Delta | null}
 */
export function revisionOf(row, newer, isDraft) {
  const passes = (/** @type {string | null | undefined} */ old, /** @type {string | null | undefined} */ clock) =>
    !clock || !old || old === clock || isDraft(old);
  // The server would reject a rejected value again.
  return pendingPart(
    row,
    (field) => passes(row.clocks[field], newer.clocks?.[field]) || Boolean(row.errors?.[field]),
    passes(row.deleted_clock, newer.deleted_clock),
  );
}

/**
 * @param {OutboxEntry} row
 * @param {(said: Delta) => Delta | null} pendingOf
 * @returns {OutboxEntry | null}
 */
function without(row, pendingOf) {
  const earlier = (row.earlier ?? []).flatMap((delta) => pendingOf(delta) ?? []);
  const delta = pendingOf(row);
  if (!delta && earlier.length === 0) return null;
  return withRevisions(
    { ...row, ...(delta ?? { fields: {}, clocks: {}, deleted: false, deleted_clock: null }) },
    earlier,
  );
}

/**
 * @param {Delta} delta
 * @param {(field: string) => boolean} isSettled
 * @param {boolean} deletionSettled
 * @returns {Delta | null} the part that is not settled
 */
function pendingPart(delta, isSettled, deletionSettled) {
  const fields = Object.keys(delta.clocks).filter((field) => !isSettled(field));
  const deletion = delta.deleted_clock !== null && !deletionSettled;
  if (fields.length === 0 && !deletion) return null;
  return {
    fields: Object.fromEntries(fields.map((field) => [field, delta.fields[field] ?? null])),
    clocks: Object.fromEntries(fields.map((field) => [field, String(delta.clocks[field])])),
    deleted: deletion && delta.deleted,
    deleted_clock: deletion ? delta.deleted_clock : null,
  };
}

/** @param {Delta} said */
function isEmpty({ clocks, deleted_clock }) {
  return deleted_clock === null && Object.keys(clocks).length === 0;
}

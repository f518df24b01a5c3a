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
  const whole = entryOf(record);
  if (!before) return whole;
  const other = pendingPart(
    before,
    (field) => before.clocks[field] === record.clocks[field],
    before.deleted_clock === record.deleted_clock,
  );
  return withRevisions(whole, [...(before.earlier ?? []), ...(other ? [other] : [])]);
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
  const before = earlier.map((said) => ({ kind, id, ...said }));
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
  return without(row, (said) =>
    pendingPart(said, (field) => sent.clocks[field] === said.clocks[field], sent.deleted_clock === said.deleted_clock),
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
  return without(row, (said) =>
    pendingPart(
      said,
      (field) =>
        theirs.clocks[field] === said.clocks[field] &&
        isEqual(theirs.fields[field] ?? null, said.fields[field] ?? null),
      theirs.deleted_clock === said.deleted_clock && theirs.deleted === said.deleted,
    ),
  );
}

/**
 * Return the values of the entry that a new edit supersedes and that were never sent.
 * @param {OutboxEntry} row
 * @param {Partial<Delta>} said the new edit
 * @param {(clock: string) => boolean} isDraft whether a value is too recent for a revision
 * @returns {Delta | null}
 */
export function supersededPart(row, said, isDraft) {
  const passes = (/** @type {string | null | undefined} */ old, /** @type {string | null | undefined} */ clock) =>
    !clock || !old || old === clock || isDraft(old);
  // The server would reject a rejected value again.
  return pendingPart(
    row,
    (field) => passes(row.clocks[field], said.clocks?.[field]) || Boolean(row.errors?.[field]),
    passes(row.deleted_clock, said.deleted_clock),
  );
}

/**
 * @param {OutboxEntry} row
 * @param {(said: Delta) => Delta | null} stillOpen
 * @returns {OutboxEntry | null}
 */
function without(row, stillOpen) {
  const earlier = (row.earlier ?? []).flatMap((said) => stillOpen(said) ?? []);
  const said = stillOpen(row);
  if (!said && earlier.length === 0) return null;
  return withRevisions(
    { ...row, ...(said ?? { fields: {}, clocks: {}, deleted: false, deleted_clock: null }) },
    earlier,
  );
}

/**
 * @param {Delta} said
 * @param {(field: string) => boolean} settled
 * @param {boolean} deletionSettled
 * @returns {Delta | null} the part that is not settled
 */
function pendingPart(said, settled, deletionSettled) {
  const fields = Object.keys(said.clocks).filter((field) => !settled(field));
  const deletion = said.deleted_clock !== null && !deletionSettled;
  if (fields.length === 0 && !deletion) return null;
  return {
    fields: Object.fromEntries(fields.map((field) => [field, said.fields[field] ?? null])),
    clocks: Object.fromEntries(fields.map((field) => [field, String(said.clocks[field])])),
    deleted: deletion && said.deleted,
    deleted_clock: deletion ? said.deleted_clock : null,
  };
}

/** @param {Delta} said */
function isEmpty({ clocks, deleted_clock }) {
  return deleted_clock === null && Object.keys(clocks).length === 0;
}

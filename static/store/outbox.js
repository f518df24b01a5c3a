/**
 * What the server has not confirmed, one row a record. Pure: the rows go in and out of the table elsewhere.
 *
 * @typedef {import('./database.js').Unsent} Unsent
 * @typedef {import('./database.js').Said} Said
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

/**
 * As `wholeUnsent`, and nothing is forgotten of what the row said before.
 * @param {BookRecord} record
 * @param {Unsent | undefined} before
 * @returns {Unsent}
 */
export function allUnsent(record, before) {
  const whole = wholeUnsent(record);
  if (!before) return whole;
  const other = open(before, (field) => before.clocks[field] === record.clocks[field], before.deleted_clock === record.deleted_clock);
  return withEarlier(whole, [...(before.earlier ?? []), ...(other ? [other] : [])]);
}

/** @param {Unsent} row @returns {BookRecord} the change as it goes on the wire */
export function asChange({ kind, id, fields, clocks, deleted, deleted_clock }) {
  return { kind, id, fields, clocks, deleted, deleted_clock };
}

/** @param {Unsent} row @returns {BookRecord[]} all that is to go on the wire, the oldest first */
export function asChanges(row) {
  const { kind, id, earlier = [] } = row;
  const before = earlier.map((said) => ({ kind, id, ...said }));
  return isEmpty(row) ? before : [...before, asChange(row)];
}

/** @param {Unsent} row @returns {boolean} whether it has anything for the wire; a row without would wait for ever */
export function saysSomething(row) {
  return asChanges(row).length > 0;
}

/**
 * @param {Unsent} row
 * @param {Said[]} earlier
 * @returns {Unsent}
 */
export function withEarlier({ earlier: _, ...row }, earlier) {
  return earlier.length === 0 ? row : { ...row, earlier };
}

/**
 * What is left to send when the server has taken `sent`; an edit made meanwhile has a later clock and stays.
 * @param {Unsent} row
 * @param {BookRecord} sent
 * @returns {Unsent | null} null where nothing is left
 */
export function withoutSent(row, sent) {
  return without(row, (said) => open(said,
    (field) => sent.clocks[field] === said.clocks[field], sent.deleted_clock === said.deleted_clock));
}

/**
 * What is left to send when the server is seen to hold `theirs`. An older value stays in the row although it has lost:
 * the server must hear of it to keep it among the earlier versions.
 * @param {Unsent} row
 * @param {BookRecord} theirs
 * @returns {Unsent | null}
 */
export function withoutSeen(row, theirs) {
  return without(row, (said) => open(said,
    (field) => theirs.clocks[field] === said.clocks[field] && sameValue(theirs.fields[field] ?? null, said.fields[field] ?? null),
    theirs.deleted_clock === said.deleted_clock && theirs.deleted === said.deleted));
}

/**
 * What stood in the row, was never sent, and is now written over.
 * @param {Unsent} row
 * @param {Partial<Said>} said the newer word
 * @param {(clock: string) => boolean} isDraft whether a value is too fresh to be kept
 * @returns {Said | null}
 */
export function writtenOver(row, said, isDraft) {
  const passes = (/** @type {string | null | undefined} */ old, /** @type {string | null | undefined} */ clock) => !clock || !old || old === clock || isDraft(old);
  // What the server has refused it would refuse again.
  return open(row, (field) => passes(row.clocks[field], said.clocks?.[field]) || Boolean(row.errors?.[field]),
    passes(row.deleted_clock, said.deleted_clock));
}

/**
 * @param {Unsent} row
 * @param {(said: Said) => Said | null} stillOpen
 * @returns {Unsent | null}
 */
function without(row, stillOpen) {
  const earlier = (row.earlier ?? []).flatMap((said) => stillOpen(said) ?? []);
  const said = stillOpen(row);
  if (!said && earlier.length === 0) return null;
  return withEarlier({ ...row, ...(said ?? { fields: {}, clocks: {}, deleted: false, deleted_clock: null }) }, earlier);
}

/**
 * @param {Said} said
 * @param {(field: string) => boolean} settled
 * @param {boolean} deletionSettled
 * @returns {Said | null} what is not settled
 */
function open(said, settled, deletionSettled) {
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

/** @param {Said} said */
function isEmpty({ clocks, deleted_clock }) {
  return deleted_clock === null && Object.keys(clocks).length === 0;
}

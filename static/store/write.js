/**
 * Saves records: record, outbox entry and clock in one transaction, durable when the promise
 * resolves.
 *
 * @typedef {import('./record.js').Kind} Kind
 * @typedef {import('./record.js').Fields} Fields
 * @typedef {import('./record.js').Row} Row
 * @typedef {import('./record.js').BookRecord} BookRecord
 * @typedef {import('./database.js').OutboxEntry} OutboxEntry
 * @typedef {import('./database.js').Transaction} Transaction
 * @typedef {{ kind: Kind, id: string }} Named
 * @typedef {Named & { fields?: Fields, deleted?: boolean, since?: string }} Edit `since`: skip
 *   fields written after this clock; set when an old edit is replayed (`stale_edits.js`)
 */
import { isEqual } from './canonical.js';
import { assertValid } from './validate.js';
import { readClockState, nextTimestamp } from './clock_state.js';
import { isRecentWrite, noteCommit } from './recent_writes.js';
import { emptyEntry, withRevisions, revisionOf } from './outbox.js';
import { toRow, emptyRecord, isDeleted } from './record.js';
import { isQuotaExceeded } from './errors.js';
import { afterSave } from './persistence.js';
import { freeSpace } from './evict.js';
import { transaction } from './database.js';
import { markCommitted, registerPending } from './write_journal.js';

export { newId } from './record.js';
export { ValidationError } from './validate.js';
export { StoreError } from './errors.js';

/**
 * Create or edit one record. Only changed fields get a new clock; null means "no value".
 * @param {Kind} kind
 * @param {string} id
 * @param {Fields} fields
 * @returns {Promise<string>} the id
 * @throws {import('./validate.js').ValidationError | import('./errors.js').StoreError}
 */
export async function save(kind, id, fields) {
  await saveMany([{ kind, id, fields }]);
  return id;
}

/**
 * Save several records, all or none.
 * @param {{ kind: Kind, id: string, fields: Fields }[]} edits
 */
export async function saveMany(edits) {
  await commitEdits(edits);
}

/** @param {Kind} kind @param {string} id */
export async function remove(kind, id) {
  await removeMany([{ kind, id }]);
}

/** @param {Kind} kind @param {string} id */
export async function restore(kind, id) {
  await restoreMany([{ kind, id }]);
}

/** @param {Named[]} named */
export async function removeMany(named) {
  await write(named.map(({ kind, id }) => ({ kind, id, deleted: true })));
}

/** @param {Named[]} named */
export async function restoreMany(named) {
  await write(named.map(({ kind, id }) => ({ kind, id, deleted: false })));
}

/** @typedef {(record: BookRecord, edit: Edit, stamp: string) => import('./stale_edits.js').MergedParts} Part */

/**
 * Commit several edits or deletions, all or none.
 * @param {Edit[]} edits
 * @param {Part} [part] for edits with `since`; passed in, because few pages need its code
 */
export async function commitEdits(edits, part) {
  for (const { kind, fields = {} } of edits) assertValid(kind, fields);
  await write(edits, part);
}

/** @type {Map<Edit[], Promise<void>>} */
const inFlight = new Map();
registerPending(() => [...inFlight.keys()].flat());

/**
 * Read once the running writes have ended, because a screen may not show their values yet.
 * @template T
 * @param {() => Promise<T>} read
 */
export async function readAfterWrites(read) {
  await Promise.allSettled(inFlight.values());
  return read();
}

let calls = 0;
/** @type {Map<string, number>} which call wrote a field last, while any write is running */
const writers = new Map();

/** @param {Edit[]} edits @param {Part} [part] */
async function write(edits, part) {
  const done = commitWithSpace(edits, part, (calls += 1));
  inFlight.set(edits, done);
  try {
    await done;
  } finally {
    inFlight.delete(edits);
    if (inFlight.size === 0) writers.clear();
  }
  markCommitted();
  afterSave();
}

/**
 * Commit, and once more if the device was full and space could be freed.
 * @param {Edit[]} edits @param {Part | undefined} part @param {number} call
 */
async function commitWithSpace(edits, part, call) {
  try {
    await commit(edits, part, call);
  } catch (error) {
    if (!isQuotaExceeded(error) || !(await freeSpace())) throw error;
    await commit(edits, part, call);
  }
}

/** @param {Edit[]} given @param {Part | undefined} part @param {number} call */
async function commit(given, part, call) {
  const tables = [...new Set(given.map((edit) => edit.kind))];
  const stored = await transaction('rw', [...tables, 'outbox', 'meta'], async (tx) => {
    const clock = await readClockState(tx);
    const stamp = nextTimestamp(clock);
    const rows = await load(tx, given);
    const edits = given.map((edit) => withoutLater(edit, call));
    const applied = edits.filter((edit) => apply(rows, edit, stamp, part));
    if (applied.length === 0) return null;
    await putRows(tx, rows, applied);
    await tx.meta.put({ ...clock, last: stamp });
    return stamp;
  });
  for (const edit of given) for (const key of writtenBy(edit)) writers.set(key, Math.max(call, writers.get(key) ?? 0));
  if (stored) noteCommit(stored);
}

/** @param {Edit} edit @returns {string[]} what it writes */
function writtenBy(edit) {
  const { fields = {}, deleted } = edit;
  return [...Object.keys(fields), ...(deleted === undefined ? [] : [''])].map((field) => keyOf(edit, field));
}

/** @param {Named} named @param {string} field empty for the deletion mark */
function keyOf({ kind, id }, field) {
  return `${kind}/${id}/${field}`;
}

/**
 * Leave out what a later call has written: an aborted transaction is repeated, perhaps after later ones.
 * @param {Edit} edit @param {number} call @returns {Edit}
 */
function withoutLater(edit, call) {
  const isLate = (/** @type {string} */ field) => (writers.get(keyOf(edit, field)) ?? 0) > call;
  const { fields = {}, deleted, ...rest } = edit;
  const open = Object.entries(fields).filter(([field]) => !isLate(field));
  return { ...rest, fields: Object.fromEntries(open), ...(deleted === undefined || isLate('') ? {} : { deleted }) };
}

/** @typedef {{ records: Map<string, Row>, unsent: Map<string, OutboxEntry> }} Loaded */

/** @param {Transaction} tx @param {Edit[]} edits @returns {Promise<Loaded>} */
async function load(tx, edits) {
  const records = new Map();
  for (const [kind, ids] of idsByKind(edits)) {
    for (const row of await tx[kind].bulkGet(ids)) if (row) records.set(row.id, row);
  }
  const unsent = new Map();
  for (const row of await tx.outbox.bulkGet([...new Set(edits.map((edit) => edit.id))]))
    if (row) unsent.set(row.id, row);
  return { records, unsent };
}

/**
 * @param {Loaded} rows updated with the edit
 * @param {Edit} edit
 * @param {string} stamp
 * @param {Part} [part]
 * @returns {boolean} whether it changes anything
 */
function apply(rows, edit, stamp, part) {
  const { kind, id } = edit;
  const existing = rows.records.get(id);
  const current = existing ?? emptyRecord(kind, id);
  const { open, past, record } = part ? part(current, edit, stamp) : { open: edit, past: null, record: current };
  const fields = changedFields(record, open.fields ?? {});
  const deleted = open.deleted !== undefined && open.deleted !== isDeleted(record);
  if (existing && Object.keys(fields).length === 0 && !deleted && !past) return false;
  const delta = {
    fields,
    clocks: Object.fromEntries(Object.keys(fields).map((field) => [field, stamp])),
    ...(deleted ? { deleted: Boolean(open.deleted), deleted_clock: stamp } : {}),
  };
  const before = rows.unsent.get(id) ?? emptyEntry(kind, id);
  rows.records.set(id, toRow(withDelta(record, delta)));
  rows.unsent.set(id, nextEntry(past ? withRevisions(before, [...(before.earlier ?? []), past]) : before, delta));
  return true;
}

/**
 * @param {OutboxEntry} before
 * @param {Partial<BookRecord>} delta
 * @returns {OutboxEntry}
 */
function nextEntry(before, delta) {
  const revision = revisionOf(before, delta, isRecentWrite);
  const row = revision ? withRevisions(before, [...(before.earlier ?? []), revision]) : before;
  return { ...withDelta(row, delta), held: 0, errors: null, not_before_ms: 0 };
}

/**
 * @template {BookRecord} T
 * @param {T} record
 * @param {Partial<BookRecord>} delta
 * @returns {T}
 */
function withDelta(record, delta) {
  return {
    ...record,
    ...delta,
    fields: { ...record.fields, ...delta.fields },
    clocks: { ...record.clocks, ...delta.clocks },
  };
}

/** @param {BookRecord} record @param {Fields} fields @returns {Fields} */
function changedFields(record, fields) {
  return Object.fromEntries(
    Object.entries(fields)
      .map(([field, value]) => /** @type {[string, any]} */ ([field, value ?? null]))
      .filter(([field, value]) => !isEqual(record.fields[field] ?? null, value)),
  );
}

/** @param {Transaction} tx @param {Loaded} rows @param {Edit[]} applied */
async function putRows(tx, rows, applied) {
  for (const [kind, ids] of idsByKind(applied)) {
    await tx[kind].bulkPut(ids.map((id) => /** @type {Row} */ (rows.records.get(id))));
  }
  const ids = [...new Set(applied.map((edit) => edit.id))];
  await tx.outbox.bulkPut(ids.map((id) => /** @type {OutboxEntry} */ (rows.unsent.get(id))));
}

/**
 * @param {Named[]} named
 * @returns {Map<Kind, string[]>} without duplicates
 */
function idsByKind(named) {
  /** @type {Map<Kind, Set<string>>} */
  const found = new Map();
  for (const { kind, id } of named) found.set(kind, (found.get(kind) ?? new Set()).add(id));
  return new Map([...found].map(([kind, ids]) => [kind, [...ids]]));
}

/**
 * The one way in which the app writes a record: record, outbox row and clock in one transaction, durable when the
 * promise resolves.
 *
 * @typedef {import('./record.js').Kind} Kind
 * @typedef {import('./record.js').Fields} Fields
 * @typedef {import('./record.js').Row} Row
 * @typedef {import('./record.js').BookRecord} BookRecord
 * @typedef {import('./database.js').Unsent} Unsent
 * @typedef {import('./database.js').Book} Book
 * @typedef {{ kind: Kind, id: string }} Named
 * @typedef {Named & { fields?: Fields, deleted?: boolean, since?: string }} Edit `since`: a clock of the book; whatever was
 *   said after it stands, for the edit is older than its writing (`stale_edits.js`)
 */
import { sameValue } from './canonical.js';
import { insist } from './validate.js';
import { clockRow, nextClock } from './clock_state.js';
import { isDraft, noteWritten } from './recent_writes.js';
import { emptyUnsent, withEarlier, writtenOver } from './outbox.js';
import { asRow, blank, isGone } from './record.js';
import { isFull } from './errors.js';
import { noteSaved } from './persistence.js';
import { makeRoom } from './evict.js';
import { within } from './database.js';
import { noLongerUnwritten, watchUnwritten } from './write_journal.js';

export { newId } from './record.js';
export { CheckError } from './validate.js';
export { StoreError } from './errors.js';

/**
 * Creates or edits one record. Only fields that change are stamped; null means "not said".
 * @param {Kind} kind
 * @param {string} id
 * @param {Fields} fields
 * @returns {Promise<string>} the id
 * @throws {import('./validate.js').CheckError | import('./errors.js').StoreError}
 */
export async function save(kind, id, fields) {
  await saveMany([{ kind, id, fields }]);
  return id;
}

/**
 * Several records, all or none.
 * @param {{ kind: Kind, id: string, fields: Fields }[]} edits
 */
export async function saveMany(edits) {
  await writeEdits(edits);
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

/** @typedef {(record: BookRecord, edit: Edit, stamp: string) => import('./stale_edits.js').Parted} Part */

/**
 * Any of the above at once, all or none.
 * @param {Edit[]} edits
 * @param {Part} [part] for edits that have a `since`; handed in, because few pages ever need it
 */
export async function writeEdits(edits, part) {
  for (const { kind, fields = {} } of edits) insist(kind, fields);
  await write(edits, part);
}

/** @type {Set<Edit[]>} */
const underWay = new Set();
watchUnwritten(() => [...underWay].flat());

/** @param {Edit[]} edits @param {Part} [part] */
async function write(edits, part) {
  underWay.add(edits);
  try {
    await commit(edits, part);
  } catch (error) {
    if (!isFull(error) || !(await makeRoom())) throw error;
    await commit(edits, part);
  } finally {
    underWay.delete(edits);
  }
  noLongerUnwritten();
  noteSaved();
}

/** @param {Edit[]} edits @param {Part} [part] */
async function commit(edits, part) {
  const tables = [...new Set(edits.map((edit) => edit.kind))];
  const stored = await within('rw', [...tables, 'outbox', 'meta'], async (book) => {
    const clock = await clockRow(book);
    const stamp = nextClock(clock);
    const rows = await load(book, edits);
    const touched = edits.filter((edit) => apply(rows, edit, stamp, part));
    if (touched.length === 0) return null;
    await put(book, rows, touched);
    await book.meta.put({ ...clock, last: stamp });
    return stamp;
  });
  if (stored) noteWritten(stored);
}

/** @typedef {{ records: Map<string, Row>, unsent: Map<string, Unsent> }} Loaded */

/** @param {Book} book @param {Edit[]} edits @returns {Promise<Loaded>} */
async function load(book, edits) {
  const records = new Map();
  for (const [kind, ids] of idsByKind(edits)) {
    for (const row of await book[kind].bulkGet(ids)) if (row) records.set(row.id, row);
  }
  const unsent = new Map();
  for (const row of await book.outbox.bulkGet([...new Set(edits.map((edit) => edit.id))])) if (row) unsent.set(row.id, row);
  return { records, unsent };
}

/**
 * @param {Loaded} rows gain the edit
 * @param {Edit} edit
 * @param {string} stamp
 * @param {Part} [part]
 * @returns {boolean} whether it says anything new
 */
function apply(rows, edit, stamp, part) {
  const { kind, id } = edit;
  const held = rows.records.get(id);
  const stood = held ?? blank(kind, id);
  const { open, past, record } = part ? part(stood, edit, stamp) : { open: edit, past: null, record: stood };
  const fields = changedFields(record, open.fields ?? {});
  const deleted = open.deleted !== undefined && open.deleted !== isGone(record);
  if (held && Object.keys(fields).length === 0 && !deleted && !past) return false;
  const said = {
    fields, clocks: Object.fromEntries(Object.keys(fields).map((field) => [field, stamp])),
    ...(deleted ? { deleted: Boolean(open.deleted), deleted_clock: stamp } : {}),
  };
  const before = rows.unsent.get(id) ?? emptyUnsent(kind, id);
  rows.records.set(id, asRow(saying(record, said)));
  rows.unsent.set(id, newerWord(past ? withEarlier(before, [...before.earlier ?? [], past]) : before, said));
  return true;
}

/**
 * @param {Unsent} before
 * @param {Partial<BookRecord>} said
 * @returns {Unsent}
 */
function newerWord(before, said) {
  const kept = writtenOver(before, said, isDraft);
  const row = kept ? withEarlier(before, [...(before.earlier ?? []), kept]) : before;
  return { ...saying(row, said), held: 0, errors: null, not_before_ms: 0 };
}

/**
 * @template {BookRecord} T
 * @param {T} record
 * @param {Partial<BookRecord>} said
 * @returns {T}
 */
function saying(record, said) {
  return {
    ...record, ...said,
    fields: { ...record.fields, ...said.fields }, clocks: { ...record.clocks, ...said.clocks },
  };
}

/** @param {BookRecord} record @param {Fields} fields @returns {Fields} */
function changedFields(record, fields) {
  return Object.fromEntries(Object.entries(fields)
    .map(([field, value]) => /** @type {[string, any]} */ ([field, value ?? null]))
    .filter(([field, value]) => !sameValue(record.fields[field] ?? null, value)));
}

/** @param {Book} book @param {Loaded} rows @param {Edit[]} touched */
async function put(book, rows, touched) {
  for (const [kind, ids] of idsByKind(touched)) {
    await book[kind].bulkPut(ids.map((id) => /** @type {Row} */ (rows.records.get(id))));
  }
  const ids = [...new Set(touched.map((edit) => edit.id))];
  await book.outbox.bulkPut(ids.map((id) => /** @type {Unsent} */ (rows.unsent.get(id))));
}

/** @param {Named[]} named @returns {Map<Kind, string[]>} each id once */
function idsByKind(named) {
  /** @type {Map<Kind, Set<string>>} */
  const found = new Map();
  for (const { kind, id } of named) found.set(kind, (found.get(kind) ?? new Set()).add(id));
  return new Map([...found].map(([kind, ids]) => [kind, [...ids]]));
}

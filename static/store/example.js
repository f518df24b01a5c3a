/**
 * The example notebook: records of an invented user, marked as such. One call removes them.
 *
 * @typedef {import('./record.js').BookRecord} BookRecord
 * @typedef {import('./write.js').Named} Named
 * @typedef {Named & { fields: import('./record.js').Fields }} Dropped
 */
import { kinds } from './record.js';
import { isEqual } from './canonical.js';
import { isEdited } from './edited_example.js';
import { db, transaction, withReconnect } from './database.js';
import { ownerFromName, databaseName } from './database_name.js';
import { commitEdits, removeMany, restoreMany, saveMany } from './write.js';

/** `code`: no_network, or no_example if the server has none. */
export class ExampleError extends Error {
  /** @param {'no_network' | 'no_example'} code */
  constructor(code) {
    super(code);
    this.name = 'ExampleError';
    this.code = code;
  }
}

/**
 * @param {string} language of its texts
 * @returns {Promise<number>} number of records written
 * @throws {ExampleError | import('./errors.js').StoreError}
 */
export async function loadExample(language) {
  const records = await fetchExample(language);
  const own = await ownAmong(records);
  const toLoad = records.filter(({ id }) => !own.has(id));
  await restoreMany(await deletedAmong(toLoad));
  const edits = toLoad.map(({ kind, id, fields }) => ({ kind, id, fields: { ...fields, example: true } }));
  await commitEdits(edits, markAnew);
  return toLoad.length;
}

/**
 * Write the mark of an example again if other values change, as those of another language do: values later than the
 * mark are edits of the user.
 * @type {import('./write.js').Part}
 */
function markAnew(record, edit) {
  const isSame = Object.entries({ ...edit.fields }).every(([name, value]) => isEqual(record.fields[name], value));
  return {
    open: edit,
    past: null,
    record: isSame ? record : { ...record, fields: { ...record.fields, example: null } },
  };
}

/**
 * Remove all example records, except those that the user's own records refer to: bottles, visits, led tastings.
 * Example tastings that the user edited become the user's own, and remain so after an undo, because a new mark would be
 * later than the edits.
 * @returns {Promise<{ removed: number, undo: () => Promise<void> }>}
 */
export async function removeExample() {
  const { named, edited } = await exampleRecords();
  await saveMany(edited.map(({ kind, id }) => ({ kind, id, fields: { example: false } })));
  const dropped = await dropUnsent(named);
  if (!dropped) await removeMany(named);
  const undo = async () => {
    await (dropped ? saveMany(dropped) : restoreMany(named));
  };
  return { removed: named.length, undo };
}

/**
 * Delete records and their outbox entries without a trace, if no server can have them: a notebook
 * without an owner has never sent anything (`owner.js`). Deletion marks would wait for a sign-in.
 * @param {Named[]} named
 * @returns {Promise<Dropped[] | null>} what was dropped; null if a server may have it
 */
function dropUnsent(named) {
  return transaction('rw', [...kinds, 'outbox', 'meta'], async (tx) => {
    const isBound = (await tx.meta.get('owner')) ?? (await tx.meta.get('server')) ?? ownerFromName(databaseName);
    if (isBound) return null;
    /** @type {Dropped[]} */
    const dropped = [];
    for (const kind of kinds) {
      const ids = named.filter((one) => one.kind === kind).map((one) => one.id);
      for (const row of await tx[kind].bulkGet(ids)) if (row) dropped.push({ kind, id: row.id, fields: row.fields });
      await tx[kind].bulkDelete(ids);
      await tx.outbox.bulkDelete(ids);
    }
    return dropped;
  });
}

/** @returns {Promise<number>} number of example records */
export async function countExample() {
  return (await exampleRecords()).named.length;
}

/** @param {string} language @returns {Promise<BookRecord[]>} */
async function fetchExample(language) {
  const address = `/api/example?${new URLSearchParams({ language })}`;
  const response = await fetch(address, { signal: AbortSignal.timeout(30_000) }).catch(() => null);
  if (!response || !/json/.test(response.headers.get('Content-Type') ?? '')) throw new ExampleError('no_network');
  const document = await response.json().catch(() => null);
  // A busy server, and an answer that was cut off, do not tell whether there is one.
  if (!document || response.status === 429 || response.status >= 500) throw new ExampleError('no_network');
  if (!response.ok || !Array.isArray(document?.records)) throw new ExampleError('no_example');
  return document.records;
}

/** @param {Named[]} named @returns {Promise<Named[]>} */
async function deletedAmong(named) {
  return (await presentAmong(named)).filter((row) => row.gone === 1);
}

/** @param {Named[]} named @returns {Promise<Set<string>>} ids of the user's own, which are never overwritten */
async function ownAmong(named) {
  const rows = await presentAmong(named);
  return new Set(rows.filter((row) => row.gone !== 1 && isOwn(row)).map(({ id }) => id));
}

/**
 * Tell whether a record is no example, or an edited one; settings are one record, also those of the example.
 * @param {BookRecord} row
 */
function isOwn(row) {
  return row.kind === 'settings' || !row.fields['example'] || isEdited(row);
}

/** @param {Named[]} named @returns {Promise<import('./record.js').Row[]>} deleted ones too */
async function presentAmong(named) {
  const found = await Promise.all(
    kinds.map((kind) =>
      withReconnect(() => db[kind].bulkGet(named.filter((one) => one.kind === kind).map((one) => one.id))),
    ),
  );
  return found.flat().filter((row) => row !== undefined);
}

/** Fields that name another record. */
const REFERENCES = ['bottle', 'visit', 'tasting', 'merged_into', 'group_tasting', 'glass', 'guest', 'person'];

/** @returns {Promise<{ named: Named[], edited: Named[] }>} what a removal removes, and what it makes the user's own */
async function exampleRecords() {
  return withReconnect(async () => {
    const rows = (await Promise.all(kinds.map((kind) => db[kind].filter((row) => !row.gone).toArray()))).flat();
    const ofExample = rows.filter((row) => row.fields['example']);
    const changed = new Set(ofExample.filter(isEdited).map(({ id }) => id));
    const edited = ofExample.filter(
      ({ kind, id, fields }) => kind === 'tasting' && (changed.has(id) || changed.has(fields['bottle'])),
    );
    const own = [...rows.filter((row) => !row.fields['example']), ...edited];
    const kept = new Set(own.flatMap(({ id, fields }) => [id, ...REFERENCES.map((name) => fields[name])]));
    return { named: ofExample.filter((row) => !kept.has(row.id) && !editedSettings(row)), edited };
  });
}

/**
 * Tell whether settings were edited after loading, so that they are the user's own.
 * @param {BookRecord} row
 */
function editedSettings(row) {
  return row.kind === 'settings' && new Set(Object.values(row.clocks)).size > 1;
}

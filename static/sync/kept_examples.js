/**
 * Keeps an example tasting that one phone changed while another one removed the example. As on a single phone, it
 * becomes the user's own, with what it refers to. Runs inside the transaction of `applyResponse`.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 * @typedef {import('../store/record.js').BookRecord} BookRecord
 * @typedef {{ id: string }} Named
 */
import { isEdited } from '../store/edited_example.js';
import { emptyEntry } from '../store/outbox.js';
import { toRow } from '../store/record.js';

/**
 * @param {BookRecord | null} mine before the merge
 * @param {BookRecord} theirs whole
 * @returns {Named[]} the record, if it was removed here before this phone knew that it was changed
 */
export function changedElsewhere(mine, theirs) {
  return mine?.deleted && !isEdited(mine) && isEdited(theirs) ? [theirs] : [];
}

/**
 * @param {Transaction} tx
 * @param {BookRecord[]} sent by this phone
 * @param {BookRecord[]} changes that answer it
 * @returns {Promise<Named[]>} what this phone changed and another one removed
 */
export async function changedHere(tx, sent, changes) {
  const removed = new Map(changes.filter(isRemovedExample).map((row) => [row.id, row]));
  if (removed.size === 0) return [];
  const unsent = await tx.outbox.bulkGet([...removed.keys()]);
  return [...sent, ...unsent].flatMap((edit) => {
    const row = edit && removed.get(edit.id);
    if (!row || edit.deleted_clock === row.deleted_clock) return [];
    return isEdited({ clocks: { ...edit.clocks, example: String(row.clocks['example']) } }) ? [row] : [];
  });
}

/** @param {BookRecord} row */
function isRemovedExample({ fields, deleted }) {
  return deleted && fields['example'];
}

/**
 * @param {Transaction} tx
 * @param {Named[]} changed tastings, and bottles whose tastings are meant
 * @param {string} stamp later than every clock of these records
 * @returns {Promise<string>} the stamp
 */
export async function keepExamples(tx, changed, stamp) {
  const ids = changed.map(({ id }) => id);
  const tastings = [
    ...(await tx.tasting.bulkGet(ids)),
    ...(await tx.tasting.where('fields.bottle').anyOf(ids).toArray()),
  ];
  for (const row of tastings) {
    if (!row?.deleted || !row.fields['example']) continue;
    await write(tx, row, { example: false }, stamp);
    for (const kind of /** @type {const} */ (['bottle', 'visit'])) {
      const named = await tx[kind].get(String(row.fields[kind]));
      // Its deletion may be on a later page.
      if (named?.fields['example']) await write(tx, named, {}, stamp);
    }
  }
  return stamp;
}

/**
 * Restore a record with these values.
 * @param {Transaction} tx
 * @param {BookRecord} record
 * @param {BookRecord['fields']} fields
 * @param {string} stamp
 */
async function write(tx, record, fields, stamp) {
  const entry = (await tx.outbox.get(record.id)) ?? emptyEntry(record.kind, record.id);
  const clocks = Object.fromEntries(Object.keys(fields).map((field) => [field, stamp]));
  const restored = (/** @type {BookRecord} */ before) => ({
    fields: { ...before.fields, ...fields },
    clocks: { ...before.clocks, ...clocks },
    deleted: false,
    deleted_clock: stamp,
  });
  await tx[record.kind].put(toRow({ ...record, ...restored(record) }));
  await tx.outbox.put({ ...entry, ...restored(entry), held: 0, errors: null, not_before_ms: 0 });
}

/**
 * Writes values again that the server has dropped from a record that this phone brings back.
 *
 * The server drops the values of a record 30 days after its deletion (see "Deleted records" in
 * webapp/sync/README.md). A phone that was away for longer may have edited or restored the record,
 * and still holds its values. The record would come back with that edit alone, so the phone gives
 * the values a new clock and sends them. Runs inside the transaction of `applyResponse`.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 * @typedef {import('../store/record.js').BookRecord} BookRecord
 * @typedef {import('../store/record.js').Fields} Fields
 * @typedef {{ kind: BookRecord['kind'], id: string, fields: Fields }} Dropped
 */
import { emptyEntry } from '../store/outbox.js';
import { tableOf, toRow } from '../store/record.js';

/**
 * @param {BookRecord | null} mine before the merge
 * @param {BookRecord} theirs whole
 * @param {string} device of this phone
 * @returns {Dropped[]} one, or none if the server has dropped nothing that this phone needs
 */
export function droppedValues(mine, theirs, device) {
  if (!mine) return [];
  const clock = clockOfDrop(mine, theirs, device);
  const names = Object.keys(theirs.clocks).filter(
    (name) => theirs.clocks[name] === clock && isMissing(theirs, name) && !isMissing(mine, name),
  );
  const older = names.filter((name) => (mine.clocks[name] ?? '') < String(theirs.clocks[name]));
  if (older.length === 0) return [];
  return [{ kind: mine.kind, id: mine.id, fields: Object.fromEntries(older.map((name) => [name, mine.fields[name]])) }];
}

/**
 * Return the clock that dropped values have: that of the deletion mark which this phone overrules.
 * @param {BookRecord} mine
 * @param {BookRecord} theirs
 * @param {string} device
 * @returns {string | null}
 */
function clockOfDrop(mine, theirs, device) {
  const mark = theirs.deleted_clock;
  if (mark === null) return null;
  if (theirs.deleted) {
    const isEdited = Object.values(mine.clocks).some((clock) => clock > mark);
    const isRestored = !mine.deleted && (mine.deleted_clock ?? '') > mark;
    return isEdited || isRestored ? mark : null;
  }
  // This phone restored the record, so the mark is gone: all that is as old as the latest empty
  // field must be empty.
  if (mine.deleted_clock !== mark || !mark.endsWith(`-${device}`)) return null;
  const old = Object.keys(theirs.clocks).filter((name) => String(theirs.clocks[name]) < mark);
  const clock = old
    .filter((name) => isMissing(theirs, name))
    .map((name) => String(theirs.clocks[name]))
    .sort()
    .at(-1);
  if (!clock) return null;
  return old.every((name) => String(theirs.clocks[name]) > clock || isMissing(theirs, name)) ? clock : null;
}

/** @param {BookRecord} record @param {string} name */
function isMissing(record, name) {
  return (record.fields[name] ?? null) === null;
}

/**
 * @param {Transaction} tx
 * @param {Dropped[]} dropped
 * @param {string} stamp later than every clock of these records
 * @returns {Promise<string>} the stamp
 */
export async function writeAgain(tx, dropped, stamp) {
  for (const { kind, id, fields } of dropped) {
    const clocks = Object.fromEntries(Object.keys(fields).map((name) => [name, stamp]));
    const row = await tx.table(tableOf(kind)).get(id);
    await tx.table(tableOf(kind)).put(toRow(withValues(row, fields, clocks)));
    const entry = (await tx.outbox.get(id)) ?? emptyEntry(kind, id);
    await tx.outbox.put({ ...withValues(entry, fields, clocks), held: 0, errors: null, not_before_ms: 0 });
  }
  return stamp;
}

/**
 * @template {{ fields: Fields, clocks: Record<string, string> }} T
 * @param {T} record
 * @param {Fields} fields
 * @param {Record<string, string>} clocks
 * @returns {T}
 */
export function withValues(record, fields, clocks) {
  return { ...record, fields: { ...record.fields, ...fields }, clocks: { ...record.clocks, ...clocks } };
}

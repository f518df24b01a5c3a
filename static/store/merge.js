/**
 * Merge two states of a record field by field. Port of webapp/sync/merge.py; shared cases in
 * tests/vectors/merge.json. Pure, and independent of the order and number of deliveries.
 *
 * @typedef {import('./record.js').BookRecord} BookRecord
 * @typedef {{ field: string, value: unknown, clock: string }} Revision
 */
import { canonical } from './canonical.js';

/** `code`: other_record. */
export class MergeError extends Error {
  /** @param {'other_record'} code */
  constructor(code) {
    super(code);
    this.name = 'MergeError';
    this.code = code;
  }
}

/**
 * @param {BookRecord | null} mine null if there is no record yet
 * @param {BookRecord} theirs a whole record or only its changed fields
 * @returns {{ record: BookRecord, revisions: Revision[], changed: boolean }} `revisions`: superseded values
 *   of either side, sorted by field; `changed`: whether `record` differs from `mine`
 */
export function merge(mine, theirs) {
  if (mine === null) return { record: own(theirs), revisions: [], changed: true };
  if (mine.kind !== theirs.kind || mine.id !== theirs.id) throw new MergeError('other_record');
  const record = own(mine);
  /** @type {Revision[]} */
  const revisions = [];
  let changed = false;
  for (const [field, clock] of Object.entries(theirs.clocks)) {
    const verdict = decide(field, fieldValue(mine, field), { value: theirs.fields[field] ?? null, clock }, revisions);
    if (!verdict) continue;
    record.fields[field] = verdict.value;
    record.clocks[field] = verdict.clock;
    changed = true;
  }
  const deletion =
    theirs.deleted_clock === null
      ? null
      : decide('deleted', deletionOf(mine), { value: theirs.deleted, clock: theirs.deleted_clock }, revisions);
  if (deletion) {
    record.deleted = Boolean(deletion.value);
    record.deleted_clock = deletion.clock;
    changed = true;
  }
  revisions.sort((one, other) => (one.field < other.field ? -1 : 1));
  return { record, revisions, changed };
}

/** @typedef {{ value: unknown, clock: string }} FieldValue */

/**
 * @param {string} field
 * @param {FieldValue | null} mine
 * @param {FieldValue} theirs
 * @param {Revision[]} revisions the superseded value is added to it
 * @returns {FieldValue | null} theirs if it wins
 */
function decide(field, mine, theirs, revisions) {
  if (mine === null) return theirs;
  const theirsWins =
    mine.clock === theirs.clock ? tieGoesToTheirs(mine.value, theirs.value) : mine.clock < theirs.clock;
  if (theirsWins === null) return null;
  revisions.push({ field, ...(theirsWins ? mine : theirs) });
  return theirsWins ? theirs : null;
}

/**
 * Decide between equal clocks with different values, which come from a cloned device. The larger
 * text wins, so that the order does not matter.
 * @param {unknown} mine
 * @param {unknown} theirs
 * @returns {boolean | null} null if both are equal
 */
function tieGoesToTheirs(mine, theirs) {
  const [myText, theirText] = [canonical(mine), canonical(theirs)];
  return myText === theirText ? null : myText < theirText;
}

/** @param {BookRecord} record @param {string} field @returns {FieldValue | null} */
function fieldValue(record, field) {
  const clock = record.clocks[field];
  return clock === undefined ? null : { value: record.fields[field] ?? null, clock };
}

/** @param {BookRecord} record @returns {FieldValue | null} */
function deletionOf(record) {
  return record.deleted_clock === null ? null : { value: record.deleted, clock: record.deleted_clock };
}

/**
 * @param {BookRecord} record
 * @returns {BookRecord} a copy with only the keys of a record
 */
function own({ kind, id, fields, clocks, deleted, deleted_clock }) {
  return { kind, id, fields: { ...fields }, clocks: { ...clocks }, deleted, deleted_clock };
}

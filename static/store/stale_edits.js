/**
 * Applies an edit that is older than its write: later values stay, and what the edit would have
 * superseded goes to the revisions.
 *
 * @typedef {import('./write.js').Edit} Edit
 * @typedef {import('./record.js').BookRecord} BookRecord
 * @typedef {import('./database.js').Delta} Delta
 * @typedef {{ open: { fields?: Fields, deleted?: boolean | undefined }, past: Delta | null }} Parts
 * @typedef {Parts & { record: BookRecord }} MergedParts record: merged with the past part, so that it is
 *   never behind the outbox
 * @typedef {import('./record.js').Fields} Fields
 */
import { isEqual } from './canonical.js';
import { merge } from './merge.js';
import { isDeleted } from './record.js';

/** Length of milliseconds and counter in a clock, including the hyphens. */
const TIME_LENGTH = 19;

/**
 * @param {BookRecord} record
 * @param {Edit} edit
 * @param {string} stamp the clock of this write
 * @returns {MergedParts} open: fields that are still the latest; past: fields written since, with a
 *   clock of the edit's own time
 */
export function splitStale(record, edit, stamp) {
  const parts = partsAt(record, edit, stamp);
  const { kind, id } = edit;
  return { ...parts, record: parts.past ? merge(record, { kind, id, ...parts.past }).record : record };
}

/** @param {BookRecord} record @param {Edit} edit @param {string} stamp @returns {Parts} */
function partsAt(record, edit, stamp) {
  const { fields = {}, deleted, since } = edit;
  if (since === undefined) return { open: edit, past: null };
  const isLater = (/** @type {string | null | undefined} */ clock) => (clock ?? '') > since;
  const entries = Object.entries(fields);
  const isEdited = Object.values(record.clocks).some(isLater);
  const isMarkPast = deleted !== undefined && (isLater(record.deleted_clock) || (deleted && isEdited));
  // Writing a field after a later deletion would restore the record.
  const isPast = (/** @type {string} */ field) =>
    isLater(record.clocks[field]) || (isLater(record.deleted_clock) && isDeleted(record));
  const clock = `${(since || '0000000000000-0000-').slice(0, TIME_LENGTH)}${stamp.slice(TIME_LENGTH)}`;
  const past = entries.filter(
    ([field, value]) => isPast(field) && !isEqual(record.fields[field] ?? null, value ?? null),
  );
  const mark = isMarkPast && deleted !== record.deleted;
  return {
    open: {
      fields: Object.fromEntries(entries.filter(([field]) => !isPast(field))),
      deleted: isMarkPast ? undefined : deleted,
    },
    past:
      past.length === 0 && !mark
        ? null
        : {
            fields: Object.fromEntries(past.map(([field, value]) => [field, value ?? null])),
            clocks: Object.fromEntries(past.map(([field]) => [field, clock])),
            deleted: mark && Boolean(deleted),
            deleted_clock: mark ? clock : null,
          },
  };
}

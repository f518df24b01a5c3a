/**
 * Stage 4: merges a page of the server's changes. Runs inside the transaction of `applyResponse`.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 * @typedef {import('../store/database.js').OutboxEntry} OutboxEntry
 * @typedef {import('../store/record.js').BookRecord} BookRecord
 * @typedef {import('../store/record.js').Row} Row
 * @typedef {import('./dropped_values.js').Dropped} Dropped
 * @typedef {import('./merged_bottles.js').Late} Late
 * @typedef {import('./kept_examples.js').Named} Named
 */
import { maxClock } from '../store/hlc.js';
import { merge } from '../store/merge.js';
import { withoutConfirmed } from '../store/outbox.js';
import { toRow, emptyRecord, isEmptied, revisionsName, tableOf } from '../store/record.js';
import { droppedValues } from './dropped_values.js';
import { changedElsewhere } from './kept_examples.js';
import { lateValues } from './merged_bottles.js';

/** Rows per batch; between batches the browser can handle input. */
const BATCH_SIZE = 50;

/**
 * Merge and do not overwrite, because a record here may have unsent edits.
 * @param {Transaction} tx
 * @param {BookRecord[]} changes
 * @param {string} device of this phone
 * @returns {Promise<{ moved: Set<string>, last: string | null, dropped: Dropped[], late: Late[], changed: Named[] }>}
 *   tables with changed records, the latest clock seen, what is to be written again, what is for a merged bottle, and
 *   examples that were changed elsewhere
 */
export async function applyPage(tx, changes, device) {
  const moved = new Set();
  /** @type {Dropped[]} */
  const dropped = [];
  /** @type {Late[]} */
  const late = [];
  /** @type {Named[]} */
  const changed = [];
  /** @type {string | null} */
  let last = null;
  const unsent = (await tx.outbox.count()) > 0;
  for (const batch of batches(changes)) {
    for (const [table, theirs] of byTable(batch)) {
      const rows = await storedRows(
        tx.table(table),
        theirs.map((record) => record.id),
      );
      const next = theirs.flatMap((record, place) => {
        const mine = rows[place] ?? null;
        dropped.push(...droppedValues(mine, record, device));
        late.push(...lateValues(mine, record));
        changed.push(...changedElsewhere(mine, record));
        return merged(mine, record);
      });
      await tx.table(table).bulkPut(next);
      if (next.length > 0) moved.add(table);
      await dropCopies(tx, next.filter(isEmptied));
    }
    if (unsent) await confirmSeen(tx, batch);
    last = maxClock(last, ...batch.map(latestClock));
  }
  return { moved, last, dropped, late, changed };
}

/**
 * Read the rows with these ids. A new phone has none, and one count costs it less than so many reads.
 * @param {import('../vendor/dexie.js').Table<Row, string>} table
 * @param {string[]} ids
 * @returns {Promise<(Row | undefined)[]>} empty if there are none
 */
async function storedRows(table, ids) {
  const sorted = [...ids].sort();
  const present = await table.where(':id').between(sorted[0], sorted.at(-1), true, true).count();
  return present === 0 ? [] : table.bulkGet(ids);
}

/** @param {BookRecord[]} changes @returns {BookRecord[][]} */
function batches(changes) {
  return Array.from({ length: Math.ceil(changes.length / BATCH_SIZE) }, (_, index) =>
    changes.slice(index * BATCH_SIZE, (index + 1) * BATCH_SIZE),
  );
}

/** @param {BookRecord[]} changes @returns {Map<string, BookRecord[]>} */
function byTable(changes) {
  /** @type {Map<string, BookRecord[]>} */
  const tables = new Map();
  for (const change of changes) {
    const table = tableOf(change.kind);
    const record = { ...emptyRecord(change.kind, change.id), ...change, deleted_clock: change.deleted_clock ?? null };
    const found = tables.get(table);
    if (found) found.push(record);
    else tables.set(table, [record]);
  }
  return tables;
}

/**
 * Delete cached revisions and photo bytes of records whose values were dropped.
 * @param {Transaction} tx
 * @param {Row[]} emptied
 */
async function dropCopies(tx, emptied) {
  if (emptied.length === 0) return;
  await tx.cache.bulkDelete(emptied.map(({ kind, id }) => revisionsName(kind, id)));
  await tx.photo_bytes.bulkDelete(emptied.filter(({ kind }) => kind === 'photo').map(({ id }) => id));
}

/**
 * @param {Row | null} mine
 * @param {BookRecord} theirs
 * @returns {Row[]} empty if nothing changes
 */
function merged(mine, theirs) {
  const { record, changed } = merge(mine, theirs);
  return changed ? [toRow(record)] : [];
}

/** @param {Transaction} tx @param {BookRecord[]} changes */
async function confirmSeen(tx, changes) {
  const rows = await tx.outbox.bulkGet(changes.map((record) => record.id));
  /** @type {OutboxEntry[]} */
  const left = [];
  /** @type {string[]} */
  const done = [];
  changes.forEach((theirs, place) => {
    const row = rows[place];
    if (!row) return;
    const next = withoutConfirmed(row, theirs);
    if (next) left.push(next);
    else done.push(row.id);
  });
  await tx.outbox.bulkPut(left);
  await tx.outbox.bulkDelete(done);
}

/** @param {BookRecord} record */
export function latestClock(record) {
  return maxClock(record.deleted_clock, ...Object.values(record.clocks));
}

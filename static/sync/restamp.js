/**
 * This phone's clock was ahead: unsent changes get new clocks by the server's time, in the old
 * order. Runs inside the transaction of `applyResponse`.
 *
 * A value that has lost against one of the server's keeps its clock, because with a new one it
 * would win on the server but not here.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 * @typedef {import('../store/database.js').OutboxEntry} OutboxEntry
 * @typedef {import('../store/database.js').Delta} Delta
 * @typedef {import('../store/record.js').Row} Row
 * @typedef {{ unsent: OutboxEntry, row: Row, open: Set<string> }} Pair an outbox entry, its record,
 *   and the fields (including DELETION) whose current value only this phone has
 */
import { isEqual } from '../store/canonical.js';
import { clockMs, maxClock, tick } from '../store/hlc.js';
import { merge } from '../store/merge.js';
import { toChanges, withRevisions } from '../store/outbox.js';
import { toRow, emptyRecord, kinds, tableOf } from '../store/record.js';

/** The deletion mark as a field; no real field has this name. */
const DELETION = 'deleted';

/**
 * @param {Transaction} tx
 * @param {string} device
 * @param {number} nowMs the server's time
 * @param {string | null} seen the latest clock that the server is known to have: its value may have
 *   lost here against the wrong clock, but would win there
 * @returns {Promise<string | null>} the last clock issued or known
 */
export async function restamp(tx, device, nowMs, seen) {
  const pairs = await pairsOf(tx);
  const ahead = (/** @type {string} */ clock) => clockMs(clock) > nowMs;
  const old = new Set(pairs.flatMap(({ unsent, open }) => clocksIn(unsent, open)).filter(ahead));
  const unchanged = pairs.flatMap(({ unsent }) => clocksIn(unsent)).filter((clock) => !old.has(clock));
  let last = maxClock(seen, ...unchanged, await lastConfirmed(tx, old));
  /** @type {Map<string, string>} */
  const renewed = new Map();
  for (const clock of [...old].sort()) {
    last = tick(last, nowMs, device);
    renewed.set(clock, last);
  }
  const affected = pairs.filter(({ unsent, open }) => clocksIn(unsent, open).some((clock) => renewed.has(clock)));
  await rewrite(tx, affected, renewed);
  return last;
}

/** @param {Transaction} tx @returns {Promise<Pair[]>} */
async function pairsOf(tx) {
  /** @type {Pair[]} */
  const pairs = [];
  const all = await tx.outbox.toArray();
  for (const table of new Set(all.map((unsent) => tableOf(unsent.kind)))) {
    const some = all.filter((unsent) => tableOf(unsent.kind) === table);
    const rows = await tx.table(table).bulkGet(some.map((unsent) => unsent.id));
    some.forEach((unsent, place) => {
      const row = rows[place] ?? toRow(emptyRecord(unsent.kind, unsent.id));
      pairs.push({ unsent, row, open: openFields(unsent, row) });
    });
  }
  return pairs;
}

/** @param {OutboxEntry} unsent @param {Row} row @returns {Set<string>} */
function openFields(unsent, row) {
  const current = new Map(valuesOf(row).map((value) => [value.field, value]));
  const isOpen = (/** @type {Value} */ { field, clock, value }) => {
    const other = current.get(field);
    return !other || other.clock < clock || (other.clock === clock && isEqual(other.value, value));
  };
  return new Set(
    allDeltas(unsent)
      .flatMap(valuesOf)
      .filter(isOpen)
      .map(({ field }) => field),
  );
}

/**
 * @param {Transaction} tx
 * @param {Set<string>} unconfirmed
 * @returns {Promise<string | null>} the latest confirmed clock; new clocks must be later, or an
 *   edit would lose against the value that it replaced
 */
async function lastConfirmed(tx, unconfirmed) {
  /** @type {string | null} */
  let last = null;
  for (const table of [...kinds, 'unknown_kind']) {
    await tx.table(table).each((row) => {
      last = maxClock(
        last,
        ...valuesOf(row)
          .map(({ clock }) => clock)
          .filter((clock) => !unconfirmed.has(clock)),
      );
    });
  }
  return last;
}

/** @param {Transaction} tx @param {Pair[]} pairs @param {Map<string, string>} renewed */
async function rewrite(tx, pairs, renewed) {
  const next = pairs.map(({ unsent, open }) =>
    withRevisions(
      { ...withNewClocks(unsent, renewed, open), held: 0, errors: null },
      (unsent.earlier ?? []).map((delta) => withNewClocks(delta, renewed, open)),
    ),
  );
  await tx.outbox.bulkPut(next);
  /** @type {Map<string, Row[]>} */
  const tables = new Map();
  pairs.forEach(({ row, open }, place) => {
    // Rebuilt from the outbox entry, so that the record shows exactly what is sent.
    const record = toChanges(/** @type {OutboxEntry} */ (next[place])).reduce(
      (merged, change) => merge(merged, change).record,
      /** @type {import('../store/record.js').BookRecord} */ (without(row, open)),
    );
    const table = tableOf(row.kind);
    tables.set(table, [...(tables.get(table) ?? []), toRow(record)]);
  });
  for (const [table, rows] of tables) await tx.table(table).bulkPut(rows);
}

/**
 * @template {Delta} T
 * @param {T} delta
 * @param {Map<string, string>} renewed
 * @param {Set<string>} open
 * @returns {T}
 */
function withNewClocks(delta, renewed, open) {
  const newClock = (/** @type {string} */ field, /** @type {string} */ clock) =>
    open.has(field) ? (renewed.get(clock) ?? clock) : clock;
  return {
    ...delta,
    clocks: Object.fromEntries(Object.entries(delta.clocks).map(([field, clock]) => [field, newClock(field, clock)])),
    deleted_clock: delta.deleted_clock === null ? null : newClock(DELETION, delta.deleted_clock),
  };
}

/**
 * Remove the clocks of these fields, so that a merge takes any value for them.
 * @param {Row} row
 * @param {Set<string>} fields
 * @returns {Row}
 */
function without(row, fields) {
  const clocks = Object.fromEntries(Object.entries(row.clocks).filter(([field]) => !fields.has(field)));
  return { ...row, clocks, deleted_clock: fields.has(DELETION) ? null : row.deleted_clock };
}

/** @typedef {{ field: string, value: unknown, clock: string }} Value */

/**
 * @param {Delta} said
 * @returns {Value[]} including the deletion mark
 */
function valuesOf({ fields, clocks, deleted, deleted_clock }) {
  const values = Object.entries(clocks).map(([field, clock]) => ({ field, value: fields[field] ?? null, clock }));
  return deleted_clock === null ? values : [...values, { field: DELETION, value: deleted, clock: deleted_clock }];
}

/** @param {OutboxEntry} unsent @returns {Delta[]} */
function allDeltas(unsent) {
  return [...(unsent.earlier ?? []), unsent];
}

/**
 * @param {OutboxEntry} unsent
 * @param {Set<string>} [fields] restricts the result to these
 * @returns {string[]}
 */
function clocksIn(unsent, fields) {
  return allDeltas(unsent)
    .flatMap(valuesOf)
    .filter(({ field }) => !fields || fields.has(field))
    .map(({ clock }) => clock);
}

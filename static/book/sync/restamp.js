/**
 * This phone's clock ran ahead: what it has not sent gets fresh clocks by the server's time, in the old order.
 * Inside the transaction of `take`.
 *
 * @typedef {import('../tables.js').Book} Book
 * @typedef {import('../tables.js').Unsent} Unsent
 * @typedef {import('../tables.js').Said} Said
 * @typedef {import('../record.js').BookRecord} BookRecord
 */
import { clockMs, latest, tick } from '../clock.js';
import { withEarlier } from '../outbox.js';
import { asRow, kinds } from '../record.js';

/**
 * @param {Book} book
 * @param {string} device
 * @param {number} nowMs the server's time
 * @param {string | null} seen the latest clock that the server has shown: what it showed may have been overruled here by the wrong clock,
 *   and would rule there
 * @returns {Promise<string | null>} the last clock given out or held
 */
export async function restamp(book, device, nowMs, seen) {
  const unsent = await book.outbox.toArray();
  const ahead = (/** @type {string | null} */ clock) => clock !== null && clockMs(clock) > nowMs;
  const old = new Set(unsent.flatMap(allClocksOf).filter(ahead));
  let last = latest(seen, await lastConfirmed(book, old));
  /** @type {Map<string, string>} */
  const fresh = new Map();
  for (const clock of [...old].sort()) {
    last = tick(last, nowMs, device);
    fresh.set(clock, last);
  }
  await rewrite(book, unsent.filter((row) => allClocksOf(row).some((clock) => fresh.has(clock))), fresh);
  return last;
}

/**
 * @param {Book} book
 * @param {Set<string>} unconfirmed
 * @returns {Promise<string | null>} fresh clocks must pass it, or an edit would lose against what it edited
 */
async function lastConfirmed(book, unconfirmed) {
  /** @type {string | null} */
  let last = null;
  for (const kind of kinds) {
    await book[kind].each((row) => {
      const clocks = clocksOf(row).filter((clock) => !unconfirmed.has(clock));
      last = latest(last, ...clocks);
    });
  }
  return last;
}

/** @param {Book} book @param {Unsent[]} unsent @param {Map<string, string>} fresh */
async function rewrite(book, unsent, fresh) {
  await book.outbox.bulkPut(unsent.map((row) => withEarlier(
    { ...withFresh(row, fresh), held: 0, errors: null }, (row.earlier ?? []).map((said) => withFresh(said, fresh)))));
  for (const kind of kinds) {
    const ids = unsent.filter((row) => row.kind === kind).map((row) => row.id);
    const rows = await book[kind].bulkGet(ids);
    await book[kind].bulkPut(rows.flatMap((row) => (row ? [asRow(withFresh(row, fresh))] : [])));
  }
}

/**
 * @template {Said} T
 * @param {T} record
 * @param {Map<string, string>} fresh
 * @returns {T}
 */
function withFresh(record, fresh) {
  const clocks = Object.entries(record.clocks).map(([field, clock]) => [field, fresh.get(clock) ?? clock]);
  const deletedAt = record.deleted_clock;
  return {
    ...record, clocks: Object.fromEntries(clocks),
    deleted_clock: deletedAt === null ? null : fresh.get(deletedAt) ?? deletedAt,
  };
}

/** @param {Unsent} row @returns {string[]} */
function allClocksOf(row) {
  return [row, ...(row.earlier ?? [])].flatMap(clocksOf);
}

/** @param {Said} record @returns {string[]} */
function clocksOf(record) {
  return [...Object.values(record.clocks), ...(record.deleted_clock === null ? [] : [record.deleted_clock])];
}


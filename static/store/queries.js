/**
 * Questions to the book. Each answers at once from the phone; `liveSignal` keeps an answer fresh.
 *
 * @typedef {import('./record.js').Row} Row
 * @typedef {import('./record.js').Kind} Kind
 */
import { liveQuery } from '../vendor/dexie.js';
import { signal } from '../vendor/signals-core.js';
import { clockMs } from './hlc.js';
import { emptyRecord, toRow, settingsId } from './record.js';
import { db, withReconnect } from './database.js';

/** Tastings that were deleted are few, and stand among the others. */
const FEW_DELETED = 10;
/** Moments are kept with the zone they were said in, and zones are up to 26 hours apart. */
const ZONES_MS = 26 * 3_600_000;

/**
 * A signal that holds the answer of a query and follows every change, in other tabs too, while somebody looks at it.
 * @template T
 * @param {() => T | PromiseLike<T>} query reads nothing but the tables of the book
 * @param {T} initial what it holds until the first answer
 * @returns {import('../vendor/signals-core.js').ReadonlySignal<T>}
 */
export function liveSignal(query, initial) {
  /** @type {{ unsubscribe(): void } | null} */
  let following = null;
  const answer = signal(initial, {
    watched() {
      // An async function and nothing else: only for such a one is followed what is read after its first awaits.
      following = liveQuery(async () => withReconnect(async () => query())).subscribe({
        next: (value) => {
          answer.value = value;
        },
        error: (error) => {
          console.error(error);
        },
      });
    },
    unwatched() {
      following?.unsubscribe();
      following = null;
    },
  });
  return answer;
}

/** @param {Kind} kind @param {string} id @returns {Promise<Row | undefined>} also one that is gone */
export function record(kind, id) {
  return withReconnect(() => db[kind].get(id));
}

/** @param {string} id */
export const tasting = (id) => record('tasting', id);

/** @param {string} id */
export const bottle = (id) => record('bottle', id);

/** @param {string} id */
export const visit = (id) => record('visit', id);

/**
 * @param {Kind} kind
 * @returns {Promise<Row[]>} all that are there, oldest id first
 */
export function allOf(kind) {
  return withReconnect(() => db[kind].filter((row) => !row.gone).toArray());
}

/**
 * @param {number} limit
 * @param {number} [skip] how many to pass over first
 * @returns {Promise<Row[]>} tastings, the latest first; those without a time come last
 */
export function latestTastings(limit, skip = 0) {
  return withReconnect(async () => {
    const dated = (await datedTastings(skip + limit)).slice(skip);
    if (dated.length === limit || skip > 0) return dated;
    const undated = await db.tasting.filter((row) => !row.gone && !row.fields['tasted_at']).toArray();
    return [...dated, ...undated].slice(0, limit);
  });
}

/**
 * Read in one go, for a cursor waits for every row; more again where too many of them are gone.
 * @param {number} wanted
 * @returns {Promise<Row[]>}
 */
async function datedTastings(wanted) {
  for (let limit = wanted + FEW_DELETED; ; limit *= 2) {
    const rows = await db.tasting.orderBy('fields.tasted_at').reverse().limit(limit).toArray();
    const there = rows.filter((row) => !row.gone);
    if (there.length >= wanted || rows.length < limit) return there.slice(0, wanted);
  }
}

/**
 * @param {number} firstMs
 * @param {number} lastMs
 * @returns {Promise<Row[]>} tastings after the first and before the last moment, in the order of tasting
 */
export async function tastingsBetween(firstMs, lastMs) {
  const rows = await withReconnect(() =>
    db.tasting
      .where('fields.tasted_at')
      .between(new Date(firstMs - ZONES_MS).toISOString(), new Date(lastMs + ZONES_MS).toISOString())
      .filter((row) => !row.gone)
      .toArray(),
  );
  const at = (/** @type {Row} */ row) => Date.parse(row.fields['tasted_at']);
  return rows.filter((row) => at(row) > firstMs && at(row) < lastMs).sort((a, b) => at(a) - at(b));
}

/**
 * @param {number} sinceMs
 * @returns {Promise<Row[]>} tastings that were deleted after that moment, the last one first; none of the example's
 */
export async function deletedTastings(sinceMs) {
  const rows = await withReconnect(() => db.tasting.filter((row) => row.gone === 1).toArray());
  return rows
    .filter((row) => row.deleted_clock && clockMs(row.deleted_clock) > sinceMs && !row.fields['example'])
    .sort((one, other) => (String(one.deleted_clock) < String(other.deleted_clock) ? 1 : -1));
}

/** @returns {Promise<number>} */
export function countTastings() {
  return withReconnect(() => db.tasting.filter((row) => !row.gone).count());
}

/** @param {string} bottleId @returns {Promise<Row[]>} its tastings, the latest first */
export function tastingsOfBottle(bottleId) {
  return tastingsWhere('fields.bottle', bottleId);
}

/** @param {string} visitId @returns {Promise<Row[]>} its tastings in the order of tasting */
export async function tastingsOfVisit(visitId) {
  return (await tastingsWhere('fields.visit', visitId)).reverse();
}

/** @param {string} index @param {string} id @returns {Promise<Row[]>} */
function tastingsWhere(index, id) {
  return withReconnect(async () => {
    const rows = await db.tasting
      .where(index)
      .equals(id)
      .filter((row) => !row.gone)
      .toArray();
    return rows.sort((one, other) => (tastedAt(one) < tastedAt(other) ? 1 : -1));
  });
}

/** @param {Row} row */
function tastedAt(row) {
  return row.fields['tasted_at'] ?? '';
}

/** @returns {Promise<Map<string, Row>>} every bottle that is there */
export async function bottlesById() {
  return new Map((await allOf('bottle')).map((row) => [row.id, row]));
}

/**
 * @param {unknown[]} ids those that are none are left out
 * @returns {Promise<Map<string, Row>>} the bottles, deleted ones too, and those into which some of them were merged
 */
export async function bottlesByIds(ids) {
  /** @type {Map<string, Row>} */
  const found = new Map();
  let wanted = ids;
  while (wanted.length) {
    const missing = [...new Set(wanted)].filter((id) => typeof id === 'string').filter((id) => !found.has(id));
    const rows = (await withReconnect(() => db.bottle.bulkGet(missing))).filter((row) => row !== undefined);
    for (const row of rows) found.set(row.id, row);
    wanted = rows.map((row) => row.fields['merged_into']).filter(Boolean);
  }
  return found;
}

/** @param {string} gtin @returns {Promise<Row[]>} */
export function bottlesByGtin(gtin) {
  return withReconnect(() =>
    db.bottle
      .where('fields.gtin')
      .equals(gtin)
      .filter((row) => !row.gone)
      .toArray(),
  );
}

export const picks = () => allOf('pick');
export const visits = () => allOf('visit');
export const stock = () => allOf('stock');

/** @returns {Promise<Row>} the owner's settings; an empty record where nothing was ever set */
export async function settings() {
  return (await record('settings', settingsId)) ?? toRow(emptyRecord('settings', settingsId));
}

export { settingsId };

/**
 * Queries. They read only the phone's database; `liveSignal` keeps a result up to date.
 *
 * @typedef {import('./record.js').Row} Row
 * @typedef {import('./record.js').Kind} Kind
 */
import { liveQuery } from '../vendor/dexie.js';
import { signal } from '../vendor/signals-core.js';
import { emptyRecord, firstIdAt, toRow, settingsId } from './record.js';
import { db, withReconnect } from './database.js';
import { instantMs, newestFirst } from './newest_first.js';

/** Deleted tastings are in the index too, and it may not have those of a day in order; read this many more. */
const DELETED_MARGIN = 10;
/** The day of a running visit began at most 36 hours ago; zones differ by up to 26 hours, and the clock may go back. */
const RUNNING_MS = 4 * 86_400_000;
/** Times are stored as text with their offset, and offsets differ by up to 26 hours. */
const ZONES_MS = 26 * 3_600_000;

/**
 * Create a signal with the result of a query. It follows changes, also of other tabs, while it is
 * used.
 * @template T
 * @param {() => T | PromiseLike<T>} query reads only the database
 * @param {T} initial value before the first result
 * @returns {import('../vendor/signals-core.js').ReadonlySignal<T>}
 */
export function liveSignal(query, initial) {
  /** @type {{ unsubscribe(): void } | null} */
  let following = null;
  const answer = signal(initial, {
    watched() {
      // Must be an async function, because liveQuery does not track reads after the first await
      // otherwise.
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
    },
  });
  return answer;
}

/**
 * @param {Kind} kind
 * @param {string} id
 * @returns {Promise<Row | undefined>} also a deleted one
 */
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
 * @returns {Promise<Row[]>} all that are not deleted, oldest id first
 */
export async function allOf(kind) {
  return (await withReconnect(() => db[kind].toArray())).filter(isThere);
}

/**
 * Read the records in one go and drop the deleted ones, because a cursor waits for each row.
 * @param {Kind} kind
 * @param {string} field that has an index
 * @param {string[]} ids
 * @returns {Promise<Row[]>} the records whose field has one of these values: those of each in turn, oldest id first
 */
export async function allWhere(kind, field, ...ids) {
  const rows = await Promise.all(
    ids.map((id) => withReconnect(() => db[kind].where(`fields.${field}`).equals(id).toArray())),
  );
  return rows.flat().filter(isThere);
}

/** @param {Row} row */
function isThere(row) {
  return !row.gone;
}

/**
 * @param {number} limit
 * @param {number} [skip] number to skip
 * @returns {Promise<Row[]>} tastings, newest first; those without a time come last
 */
export function latestTastings(limit, skip = 0) {
  return withReconnect(async () => {
    const { there, read } = await datedTastings(skip + limit);
    const dated = there.slice(skip);
    if (dated.length === limit || skip > 0) return dated;
    return [...dated, ...(await undatedTastings(limit - dated.length, read))];
  });
}

/**
 * Search the table only if it has rows that the index of times lacks.
 * @param {number} limit
 * @param {number} dated number of rows in the index of times
 * @returns {Promise<Row[]>}
 */
async function undatedTastings(limit, dated) {
  if ((await db.tasting.count()) === dated) return [];
  return db.tasting
    .filter((row) => isThere(row) && !row.fields['tasted_at'])
    .limit(limit)
    .toArray();
}

/**
 * Read in one go, because a cursor waits for each row; read more if too many are deleted.
 * @param {number} wanted
 * @returns {Promise<{ there: Row[], read: number }>} number of rows that were read: all of the index, if there are
 *   fewer tastings than wanted
 */
async function datedTastings(wanted) {
  for (let limit = wanted + DELETED_MARGIN; ; limit *= 2) {
    const rows = await db.tasting.orderBy('fields.tasted_at').reverse().limit(limit).toArray();
    const there = rows.filter(isThere).sort((one, other) => newestFirst(tastedAt(one), tastedAt(other)));
    if (there.length >= wanted || rows.length < limit) return { there: there.slice(0, wanted), read: rows.length };
  }
}

/**
 * @param {number} firstMs
 * @param {number} lastMs
 * @returns {Promise<Row[]>} tastings between the two times, oldest first
 */
export async function tastingsBetween(firstMs, lastMs) {
  const rows = await withReconnect(() =>
    db.tasting
      .where('fields.tasted_at')
      .between(new Date(firstMs - ZONES_MS).toISOString(), new Date(lastMs + ZONES_MS).toISOString())
      .toArray(),
  );
  const at = (/** @type {Row} */ row) => Date.parse(row.fields['tasted_at']);
  return rows.filter((row) => isThere(row) && at(row) > firstMs && at(row) < lastMs).sort((a, b) => at(a) - at(b));
}

/**
 * @param {string[]} bottleIds of one bottle, or also of those merged into it
 * @returns {Promise<Row[]>} its tastings, newest first
 */
export function tastingsOfBottle(...bottleIds) {
  return tastingsWhere('bottle', bottleIds);
}

/**
 * @param {string} visitId
 * @returns {Promise<Row[]>} its tastings, oldest first
 */
export async function tastingsOfVisit(visitId) {
  return (await tastingsWhere('visit', [visitId])).reverse();
}

/** @param {string} field @param {string[]} ids @returns {Promise<Row[]>} */
async function tastingsWhere(field, ids) {
  const rows = await allWhere('tasting', field, ...ids);
  const at = (/** @type {Row} */ row) => instantMs(tastedAt(row));
  return rows.sort((one, other) => at(other) - at(one) || (one.id < other.id ? 1 : -1));
}

/** @param {Row} row */
function tastedAt(row) {
  return row.fields['tasted_at'] ?? '';
}

/** @returns {Promise<Map<string, Row>>} all bottles that are not deleted */
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
  for (let wanted = ids; ;) {
    const missing = [...new Set(wanted)].filter((id) => typeof id === 'string').filter((id) => !found.has(id));
    const rows = await existing('bottle', missing);
    if (!rows.length) return found;
    for (const row of rows) found.set(row.id, row);
    wanted = rows.map((row) => row.fields['merged_into']);
  }
}

/**
 * Start no transaction if no record is asked for.
 * @param {Kind} kind
 * @param {string[]} ids
 * @returns {Promise<Row[]>} the records that exist, deleted ones too
 */
async function existing(kind, ids) {
  const rows = ids.length ? await withReconnect(() => db[kind].bulkGet(ids)) : [];
  return rows.filter((row) => row !== undefined);
}

/**
 * @param {{ bottle?: string, tasting?: string }} of
 * @param {string[]} merged ids of bottles merged into this one
 * @returns {Promise<Row[]>} oldest first, those of each bottle in turn
 */
export function photosOf(of, ...merged) {
  const [field, id] = of.tasting ? ['tasting', of.tasting] : ['bottle', String(of.bottle)];
  return allWhere('photo', field, id, ...merged);
}

/**
 * @param {'glass' | 'guest' | 'sheet'} kind
 * @param {string} id of a group tasting
 * @returns {Promise<Row[]>} its records that are not deleted, oldest id first
 */
export function ofGroupTasting(kind, id) {
  return allWhere(kind, 'group_tasting', id);
}

export const picks = () => allOf('pick');
export const visits = () => allOf('visit');

/**
 * Read the visits that may be running. An id begins with the time at which the visit was started; one from a led
 * tasting has a hash instead, and tastings.
 * @param {Date} now
 * @returns {Promise<Row[]>} those started, then those with tastings, in the last days; some come twice
 */
export async function recentVisits(now) {
  const [first_ms, last_ms] = [now.getTime() - RUNNING_MS, now.getTime() + RUNNING_MS];
  const [tasted, started] = await Promise.all([
    tastingsBetween(first_ms, last_ms),
    withReconnect(() => db.visit.where('id').aboveOrEqual(firstIdAt(first_ms)).toArray()),
  ]);
  const named = new Set(tasted.flatMap((row) => row.fields['visit'] ?? []));
  return [...started, ...(await existing('visit', [...named]))].filter(isThere);
}
export const stock = () => allOf('stock');

/** @returns {Promise<Row>} the settings; an empty record if there are none */
export async function settings() {
  return (await record('settings', settingsId)) ?? toRow(emptyRecord('settings', settingsId));
}

export { settingsId };

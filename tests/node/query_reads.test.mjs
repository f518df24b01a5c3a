// What the queries of static/store/queries.js read, where their ranges end, and the order of times.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { referencesToBottle } from '../../static/store/bottle_queries.js';
import { instantMs, newestFirst } from '../../static/store/newest_first.js';
import * as queries from '../../static/store/queries.js';
import { visitAll } from '../../static/store/whole_table.js';
import { db } from '../../static/store/database.js';
import { firstIdAt, toRow } from '../../static/store/record.js';
import { at, emptyBook, recordOf, someId } from './support.mjs';

beforeEach(emptyBook);
afterEach(() => mock.restoreAll());

/**
 * Store one record.
 * @param {any} kind
 * @param {Record<string, unknown>} fields
 * @param {{ id?: string, isDeleted?: boolean }} [more]
 * @returns {Promise<string>} its id
 */
async function store(kind, fields, { id = someId(), isDeleted = false } = {}) {
  const said = Object.fromEntries(Object.entries(fields).map(([field, value]) => [field, [value, at(1)]]));
  const mark = isDeleted ? { deleted: true, deleted_clock: at(2) } : {};
  await db[kind].put(toRow(recordOf(id, /** @type {any} */ (said), { kind, ...mark })));
  return id;
}

/** @param {number} day */
const on = (day) => `2026-03-${String(day).padStart(2, '0')}T20:00:00.000+00:00`;

/** Count the cursors that are opened: each waits for every row. */
function cursors() {
  const opened = [IDBObjectStore, IDBIndex].map(({ prototype }) => mock.method(prototype, 'openCursor').mock);
  return () => opened.reduce((sum, one) => sum + one.callCount(), 0);
}

/** Note the limits of the reads. @returns {() => number[]} */
function limits() {
  const set = mock.method(Object.getPrototypeOf(db.tasting.toCollection()), 'limit').mock;
  return () => set.calls.map(({ arguments: [limit] }) => limit);
}

/** @param {any[]} rows */
const ids = (rows) => rows.map(({ id }) => id);

test('the later note is the newest when the clock goes back', async () => {
  const bottle = someId();
  const made = [];
  for (const tasted_at of ['2026-10-25T02:40:00+02:00', '2026-10-25T02:10:00+01:00', '2026-10-24T23:00:00+02:00'])
    made.push(await store('tasting', { bottle, visit: bottle, tasted_at }));
  const wanted = [made[1], made[0], made[2]];
  assert.deepEqual(ids(await queries.tastingsOfBottle(bottle)), wanted);
  assert.deepEqual(ids(await queries.tastingsOfVisit(bottle)), [...wanted].reverse());
  assert.deepEqual(ids(await queries.latestTastings(2)), wanted.slice(0, 2));
  const undated = [await store('tasting', { bottle }), await store('tasting', { bottle })];
  assert.deepEqual(ids(await queries.tastingsOfBottle(bottle)), [...wanted, ...undated.sort().reverse()]);
});

test('tastings are listed by the day of their place', () => {
  // The first is the later one, and in New York it is still the day before.
  const [newYork, tokyo, rome] = [
    '2026-11-30T20:00:00-05:00',
    '2026-12-01T01:00:00+09:00',
    '2026-11-30T19:00:00+01:00',
  ];
  for (const made of [
    [newYork, tokyo, rome],
    [rome, newYork, tokyo],
    [tokyo, rome, newYork],
  ])
    assert.deepEqual(made.sort(newestFirst), [tokyo, newYork, rome]);
  assert.equal(instantMs(null), 0);
});

test('tastings of one moment come by id, whatever their bottle', async () => {
  const [bottle, merged] = [someId(), someId()];
  const first = await store('tasting', { bottle: merged, tasted_at: on(1) });
  const last = await store('tasting', { bottle, tasted_at: on(1) });
  assert.deepEqual(ids(await queries.tastingsOfBottle(bottle, merged)), [last, first]);
});

test('undated tastings are searched only if there are any', async () => {
  await store('tasting', { tasted_at: on(1) });
  await store('tasting', { tasted_at: on(2) });
  const opened = cursors();
  assert.equal((await queries.latestTastings(9)).length, 2);
  assert.equal(opened(), 0);
  const undated = await store('tasting', { note: 'n' });
  await store('tasting', { note: 'later' });
  assert.equal((await queries.latestTastings(3))[2]?.id, undated);
  assert.ok(opened() > 0);
});

test('a full page of tastings counts nothing', async () => {
  for (const day of [1, 2, 3]) await store('tasting', { tasted_at: on(day) });
  const counted = mock.method(Object.getPrototypeOf(db.tasting), 'count').mock;
  assert.equal((await queries.latestTastings(3)).length, 3);
  assert.equal(counted.callCount(), 0);
});

test('records that nobody names are not asked for', async () => {
  const tasting = await store('tasting', { tasted_at: on(20) });
  const asked = [db.bottle, db.visit].map((table) => mock.method(table, 'bulkGet').mock);
  assert.equal((await queries.bottlesByIds([undefined])).size, 0);
  assert.deepEqual(await queries.recentVisits(new Date(on(20))), []);
  assert.deepEqual(
    asked.map((one) => one.callCount()),
    [0, 0],
  );
  await store('tasting', { ...(await queries.tasting(tasting))?.fields, visit: someId() });
  assert.deepEqual(await queries.recentVisits(new Date(on(20))), []);
  assert.equal(asked[1]?.callCount(), 1);
});

test('a page with just enough tastings is not read again', async () => {
  for (let place = 0; place < 30; place += 1)
    await store('tasting', { tasted_at: on(1 + place) }, { isDeleted: place >= 20 });
  const read = limits();
  assert.equal((await queries.latestTastings(5)).length, 5);
  assert.deepEqual(read(), [15]);
});

test('a visit may run for four days', async () => {
  const now = new Date('2026-03-20T20:00:00Z');
  const begun = now.getTime() - 4 * 86_400_000;
  const idAt = (/** @type {number} */ ms) => `${firstIdAt(ms)}-7000-8000-000000000001`;
  await store('visit', {}, { id: idAt(begun - 1) });
  const running = await store('visit', {}, { id: idAt(begun) });
  assert.deepEqual(
    (await queries.recentVisits(now)).map(({ id }) => id),
    [running],
  );
});

test('a table is read until a visitor has enough', async () => {
  const ids = [await store('bottle', {}), await store('bottle', {}), await store('bottle', {})];
  /** @type {string[]} */
  const seen = [];
  await visitAll('bottle', ({ id }) => {
    seen.push(id);
    return id === ids[1];
  });
  assert.deepEqual(seen, ids.slice(0, 2));
});

test('all that refers to a bottle is found, unless deleted', async () => {
  const bottle = await store('bottle', {});
  const other = await store('bottle', {});
  const wanted = [];
  for (const kind of ['tasting', 'pick', 'stock', 'photo', 'glass']) {
    wanted.push(await store(kind, { bottle }));
    await store(kind, { bottle }, { isDeleted: true });
    await store(kind, { bottle: other });
  }
  wanted.push(await store('bottle', { merged_into: bottle }));
  await store('bottle', { merged_into: bottle }, { isDeleted: true });
  await store('bottle', { merged_into: other });
  assert.deepEqual(
    (await referencesToBottle(bottle)).map(({ id }) => id),
    wanted,
  );
});

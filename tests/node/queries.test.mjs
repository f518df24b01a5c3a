import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { effect } from '../../static/vendor/signals-core.js';
import { bottleByGtin } from '../../static/store/bottle_queries.js';
import { deletedTastings } from '../../static/store/deleted_tastings.js';
import * as queries from '../../static/store/queries.js';
import { db } from '../../static/store/database.js';
import { deletedKeptDays, firstIdAt, toRow } from '../../static/store/record.js';
import { at, emptyBook, NOW, recordOf, someId, until } from './support.mjs';

const countTastings = async () => (await queries.allOf('tasting')).length;

const KEPT_MS = deletedKeptDays * 86_400_000;

beforeEach(emptyBook);

/**
 * Store one record.
 * @param {any} kind
 * @param {Record<string, unknown>} fields
 * @param {{ deletedAt?: number, id?: string }} [more] deletedAt: ms after NOW
 * @returns {Promise<string>} its id
 */
async function store(kind, fields, { deletedAt, id = someId() } = {}) {
  const said = Object.fromEntries(Object.entries(fields).map(([field, value]) => [field, [value, at(1)]]));
  const mark = deletedAt === undefined ? {} : { deleted: true, deleted_clock: at(deletedAt) };
  await db[kind].put(toRow(recordOf(id, /** @type {any} */ (said), { kind, ...mark })));
  return id;
}

/** @param {any[]} rows */
const idsOf = (rows) => rows.map(({ id }) => id);

test('a record is found by its kind, a deleted one too', async () => {
  const ids = { bottle: await store('bottle', {}, { deletedAt: 2 }), tasting: await store('tasting', {}) };
  const visit = await store('visit', {});
  assert.equal((await queries.bottle(ids.bottle))?.gone, 1);
  assert.equal((await queries.tasting(ids.tasting))?.id, ids.tasting);
  assert.equal((await queries.visit(visit))?.id, visit);
  assert.equal(await queries.tasting(ids.bottle), undefined);
});

test('all records of a kind come without deleted ones', async () => {
  for (const kind of ['pick', 'visit', 'stock']) {
    const first = await store(kind, {});
    await store(kind, {}, { deletedAt: 2 });
    const last = await store(kind, {});
    assert.deepEqual(idsOf(await queries[kind === 'stock' ? kind : `${kind}s`]()), [first, last]);
  }
});

test('settings are empty until there are some', async () => {
  const none = await queries.settings();
  assert.deepEqual([none.id, none.kind, none.fields], [queries.settingsId, 'settings', {}]);
  await store('settings', { language: 'it' }, { id: queries.settingsId });
  assert.deepEqual((await queries.settings()).fields, { language: 'it' });
});

/** @param {number} day */
const day = (day) => `2026-03-${String(day).padStart(2, '0')}T20:00:00.000+00:00`;

test('latest tastings come newest first, undated ones last', async () => {
  const undated = await store('tasting', { note: 'n' });
  const [one, two, three] = [
    await store('tasting', { tasted_at: day(1) }),
    await store('tasting', { tasted_at: day(2) }),
    await store('tasting', { tasted_at: day(3) }),
  ];
  await store('tasting', { tasted_at: day(4) }, { deletedAt: 2 });
  await store('tasting', {}, { deletedAt: 2 });
  assert.deepEqual(idsOf(await queries.latestTastings(2)), [three, two]);
  assert.deepEqual(idsOf(await queries.latestTastings(3)), [three, two, one]);
  assert.deepEqual(idsOf(await queries.latestTastings(9)), [three, two, one, undated]);
  assert.deepEqual(idsOf(await queries.latestTastings(2, 1)), [two, one]);
  assert.deepEqual(idsOf(await queries.latestTastings(2, 2)), [one]);
  assert.deepEqual(idsOf(await queries.latestTastings(9, 1)), [two, one], 'undated ones end the first page');
  await store('tasting', { note: 'second' });
  assert.equal((await queries.latestTastings(4)).length, 4);
  assert.equal(await countTastings(), 5);
});

test('latest tastings are found behind many deleted ones', async () => {
  const wanted = [await store('tasting', { tasted_at: day(2) }), await store('tasting', { tasted_at: day(1) })];
  for (let place = 0; place < 40; place += 1)
    await store('tasting', { tasted_at: day(3 + (place % 9)) }, { deletedAt: 2 });
  assert.deepEqual(idsOf(await queries.latestTastings(2)), wanted);
});

test('a page of tastings is read at once, with spare rows', async () => {
  for (let place = 0; place < 30; place += 1) await store('tasting', { tasted_at: day(1 + (place % 9)) });
  const limits = mock.method(Object.getPrototypeOf(db.tasting.toCollection()), 'limit').mock;
  try {
    assert.equal((await queries.latestTastings(5))[0]?.fields['tasted_at'], day(9));
    assert.deepEqual(
      limits.calls.map((call) => call.arguments[0]),
      [15],
    );
    await queries.latestTastings(5, 5);
    assert.deepEqual(
      limits.calls.slice(1).map((call) => call.arguments[0]),
      [20],
    );
  } finally {
    mock.restoreAll();
  }
});

test('tastings between two times are compared as times', async () => {
  const [first, last] = [Date.parse('2026-03-05T10:00:00Z'), Date.parse('2026-03-05T12:00:00Z')];
  const east = await store('tasting', { tasted_at: '2026-03-06T00:30:00.000+14:00' });
  const west = await store('tasting', { tasted_at: '2026-03-04T23:59:00.000-12:00' });
  await store('tasting', { tasted_at: '2026-03-05T11:00:00.000+00:00' }, { deletedAt: 2 });
  await store('tasting', { tasted_at: '2026-03-05T11:00:00.000-01:00' });
  await store('tasting', { tasted_at: '2026-03-05T10:00:00.000+00:00' });
  await store('tasting', { tasted_at: '2026-03-05T12:00:00.000+00:00' });
  const found = await queries.tastingsBetween(first, last);
  assert.deepEqual(idsOf(found), [east, west]);
});

test('deleted tastings that can be restored come latest first', async () => {
  const [one, two, three] = [
    await store('tasting', {}, { deletedAt: 4 }),
    await store('tasting', {}, { deletedAt: 7 }),
    await store('tasting', {}, { deletedAt: 6 }),
  ];
  await store('tasting', {}, { deletedAt: 3 });
  await db.tasting.put(
    toRow(recordOf(someId(), { words: ['restored', at(8)] }, { kind: 'tasting', deleted_clock: at(8) })),
  );
  await store('tasting', { example: true }, { deletedAt: 8 });
  await store('tasting', { words: null }, { deletedAt: 8 });
  await store('tasting', {});
  await db.meta.delete('clock');
  mock.timers.enable({ apis: ['Date'], now: NOW + 3 + KEPT_MS });
  try {
    assert.deepEqual(idsOf(await deletedTastings()), [two, three, one]);
    await db.tasting.put({ ...toRow(recordOf(someId(), {}, { kind: 'tasting' })), deleted: true, gone: 1 });
    assert.deepEqual(idsOf(await deletedTastings()), [two, three, one], 'a deletion without a clock has no age');
  } finally {
    mock.timers.reset();
  }
});

test('deleted tastings have the age of the server’s time', async () => {
  const ahead_ms = KEPT_MS + 86_400_000;
  const [, recent] = [await store('tasting', {}, { deletedAt: 0 }), await store('tasting', {}, { deletedAt: 5 })];
  mock.timers.enable({ apis: ['Date'], now: NOW + KEPT_MS + ahead_ms });
  try {
    assert.deepEqual(idsOf(await deletedTastings()), []);
    await db.meta.update('clock', { offset_ms: -ahead_ms });
    assert.deepEqual(idsOf(await deletedTastings()), [recent]);
  } finally {
    mock.timers.reset();
  }
});

test('tastings of a bottle come newest first, of a visit oldest', async () => {
  const [bottle, visit] = [someId(), someId()];
  const two = await store('tasting', { bottle, visit, tasted_at: day(2) });
  const untimed = await store('tasting', { bottle, visit });
  const three = await store('tasting', { bottle, visit, tasted_at: day(3) });
  const one = await store('tasting', { bottle, visit, tasted_at: day(1) });
  await store('tasting', { bottle, visit, tasted_at: day(4) }, { deletedAt: 2 });
  const merged = someId();
  const between = await store('tasting', { bottle: merged, tasted_at: '2026-03-02T21:00:00.000+00:00' });
  await store('tasting', { bottle: someId(), visit: someId(), tasted_at: day(5) });
  assert.deepEqual(idsOf(await queries.tastingsOfBottle(bottle)), [three, two, one, untimed]);
  assert.deepEqual(idsOf(await queries.tastingsOfBottle(bottle, merged)), [three, between, two, one, untimed]);
  assert.deepEqual(idsOf(await queries.tastingsOfVisit(visit)), [untimed, one, two, three]);
});

test('bottles by id come without deleted ones', async () => {
  const bottle = await store('bottle', { name: 'a' });
  await store('bottle', { name: 'b' }, { deletedAt: 2 });
  const found = [...(await queries.bottlesById())].map(([id, row]) => [id, row.id, row.fields['name']]);
  assert.deepEqual(found, [[bottle, bottle, 'a']]);
});

test('bottles by code come without deleted ones', async () => {
  const bottle = await store('bottle', { gtin: '4006381333931' });
  await store('bottle', { gtin: '4006381333931' }, { deletedAt: 2 });
  await store('bottle', { gtin: '96385074' });
  assert.equal((await bottleByGtin('4006381333931'))?.id, bottle);
});

test('photos belong to a tasting or to a bottle', async () => {
  const [bottle, tasting] = [someId(), someId()];
  const ofBottle = await store('photo', { bottle });
  const ofTasting = await store('photo', { tasting });
  await store('photo', { bottle }, { deletedAt: 2 });
  await store('photo', { tasting }, { deletedAt: 2 });
  assert.deepEqual(idsOf(await queries.photosOf({ bottle })), [ofBottle]);
  assert.deepEqual(idsOf(await queries.photosOf({ tasting })), [ofTasting]);
});

test('records of a group tasting come oldest id first', async () => {
  const group = someId();
  const ids = [someId(), someId(), someId()];
  for (const id of [ids[2], ids[0], ids[1]]) await store('glass', { group_tasting: group }, { id: String(id) });
  await store('glass', { group_tasting: group }, { deletedAt: 2 });
  await store('glass', { group_tasting: someId() });
  assert.deepEqual(idsOf(await queries.ofGroupTasting('glass', group)), ids);
});

test('a live signal follows the table while it is used', async () => {
  const live = queries.liveSignal(countTastings, -1);
  assert.equal(live.value, -1);
  /** @type {number[]} */
  const seen = [];
  const stop = effect(() => {
    seen.push(live.value);
  });
  await until(() => seen.at(-1) === 0);
  await store('tasting', {});
  await until(() => seen.at(-1) === 1);
  stop();
  await store('tasting', {});
  const other = queries.liveSignal(countTastings, -1);
  const end = effect(() => {
    void other.value;
  });
  await until(() => other.value === 2);
  end();
  assert.equal(live.value, 1, 'nobody uses it any more');
});

test('an error of a live signal is reported', async () => {
  const reported = mock.method(console, 'error', () => {}).mock;
  const live = queries.liveSignal(() => Promise.reject(new RangeError('wrong')), 0);
  const stop = effect(() => {
    void live.value;
  });
  await until(() => reported.callCount() === 1);
  assert.match(String(reported.calls[0]?.arguments[0]), /wrong/);
  stop();
  mock.restoreAll();
});

/** Count the rows that a query reads from tables and indexes, by getAll, get and cursors. */
async function rowsReadBy(/** @type {() => Promise<unknown>} */ query) {
  let rows = 0;
  const reading = (/** @type {any} */ row) => {
    rows += 1;
    return row;
  };
  const kinds = /** @type {const} */ (['tasting', 'bottle', 'visit', 'pick', 'stock', 'photo', 'guest']);
  for (const kind of kinds) db[kind].hook('reading', reading);
  await query();
  for (const kind of kinds) db[kind].hook('reading').unsubscribe(reading);
  return rows;
}

test('queries read no more rows in a larger notebook', async () => {
  const name = await store('bottle', { name: 'n' });
  await store('pick', { bottle: name });
  const asked = {
    latest: () => queries.latestTastings(5),
    running: () => queries.recentVisits(new Date('2026-03-20T20:00:00Z')),
    ofBottle: () => queries.tastingsOfBottle(name),
    picks: () => queries.allWhere('pick', 'bottle', name),
  };
  const grow = async () => {
    for (let place = 0; place < 40; place += 1) {
      const visit = await store('visit', { on: day(1) });
      await store('tasting', { tasted_at: day(1 + (place % 9)), bottle: await store('bottle', {}), visit });
      await store('pick', { bottle: visit });
    }
  };
  const counted = async () => {
    /** @type {Record<string, number>} */
    const rows = {};
    for (const [name, query] of Object.entries(asked)) rows[name] = await rowsReadBy(query);
    return rows;
  };
  await grow();
  const small = await counted();
  await grow();
  assert.deepEqual(await counted(), small);
  assert.equal(small['latest'], 15);
});

test('visits that may run are recent or tasted in lately', async () => {
  const now = new Date('2026-03-20T20:00:00Z');
  const idAt = (/** @type {string} */ moment) => `${firstIdAt(Date.parse(moment))}-7000-8000-000000000001`;
  await store('visit', { on: '2026-03-10' }, { id: idAt('2026-03-10T20:00:00Z') });
  const begun = await store('visit', { on: '2026-03-19' }, { id: idAt('2026-03-19T10:00:00Z') });
  await store('visit', { on: '2026-03-19' }, { id: idAt('2026-03-19T11:00:00Z'), deletedAt: 2 });
  const hashed = await store('visit', { on: '2026-03-19' }, { id: '00000000-0000-8000-8000-000000000009' });
  await store('tasting', { tasted_at: day(19), visit: hashed });
  await store('tasting', { tasted_at: day(19), visit: begun });
  await store('tasting', { tasted_at: day(19) });
  await store('tasting', { tasted_at: day(19), visit: someId() });
  assert.deepEqual([...new Set(idsOf(await queries.recentVisits(now)))], [begun, hashed]);
});

import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import { restamp } from '../../static/sync/restamp.js';
import { db, transaction } from '../../static/store/database.js';
import { DEVICE, NOW, OTHER, at, emptyBook, recordOf, saidOf, someId, unsentOf } from './support.mjs';

const AHEAD = 600_000;

beforeEach(() => emptyBook());

/** @param {string | null} [seen] @param {number} [ms] */
const run = (seen = null, ms = 0) =>
  transaction(
    'rw',
    db.tables.map(({ name }) => name),
    (book) => restamp(book, DEVICE, NOW + ms, seen),
  );

/**
 * Store a record and an outbox entry with the same values.
 * @param {Record<string, [unknown, string]>} said
 * @param {any} [more]
 */
async function unsent(said, { earlier, kind = 'bottle', ...more } = {}) {
  const id = someId();
  await db.table(kind).put({ ...recordOf(id, said, { kind, ...more }), gone: 0 });
  await db.outbox.put(unsentOf(id, said, { kind, ...more, ...(earlier ? { earlier } : {}) }));
  return id;
}

test('a clock that is ahead is given anew', async () => {
  const id = await unsent({ name: ['a', at(AHEAD)] });
  assert.equal(await run(), at(0));
  assert.deepEqual(await db.outbox.get(id), unsentOf(id, { name: ['a', at(0)] }));
  assert.deepEqual(await db.bottle.get(id), { ...recordOf(id, { name: ['a', at(0)] }), gone: 0 });
});

test('a clock that is not ahead stays', async () => {
  const id = await unsent({ name: ['a', at(0)] }, { deleted: true, deleted_clock: at(-1) });
  const before = [await db.outbox.get(id), await db.bottle.get(id)];
  assert.equal(await run(), at(0) > at(-1) ? await run() : null);
  assert.deepEqual([await db.outbox.get(id), await db.bottle.get(id)], before);
});

test('fresh clocks keep the old order', async () => {
  const one = await unsent({ name: ['late', at(AHEAD + 9)], region: ['r', at(AHEAD + 5)], grapes: ['g', at(-9)] });
  const other = await unsent({ place: ['p', at(AHEAD + 7)] }, { kind: 'tasting' });
  assert.equal(await run(), at(0, DEVICE, 2));
  assert.deepEqual((await db.bottle.get(one)).clocks, { name: at(0, DEVICE, 2), region: at(0), grapes: at(-9) });
  assert.deepEqual((await db.outbox.get(one)).clocks, { name: at(0, DEVICE, 2), region: at(0), grapes: at(-9) });
  assert.deepEqual((await db.tasting.get(other)).clocks, { place: at(0, DEVICE, 1) });
});

test('a deletion that is ahead is given anew', async () => {
  const id = await unsent({ name: ['a', at(-5)] }, { deleted: true, deleted_clock: at(AHEAD) });
  await run();
  assert.deepEqual(
    await db.outbox.get(id),
    unsentOf(id, { name: ['a', at(-5)] }, { deleted: true, deleted_clock: at(0) }),
  );
  assert.deepEqual(await db.bottle.get(id), {
    ...recordOf(id, { name: ['a', at(-5)] }, { deleted: true, deleted_clock: at(0) }),
    gone: 1,
  });
});

test('earlier values that are ahead are given anew', async () => {
  const id = await unsent({ name: ['b', at(AHEAD + 5)] }, { earlier: [saidOf({ name: ['a', at(AHEAD)] })] });
  await run();
  const { clocks, earlier } = await db.outbox.get(id);
  assert.deepEqual([clocks, earlier], [{ name: at(0, DEVICE, 1) }, [saidOf({ name: ['a', at(0)] })]]);
});

test('fresh clocks pass what the server has confirmed', async () => {
  const id = await unsent({ name: ['a', at(AHEAD)] });
  await db.tasting.put({ ...recordOf(someId(), { place: ['p', at(9, OTHER)] }, { kind: 'tasting' }), gone: 0 });
  assert.equal(await run(), at(9, DEVICE, 1));
  assert.deepEqual((await db.bottle.get(id)).clocks.name, at(9, DEVICE, 1));
});

test('fresh clocks pass a confirmed deletion', async () => {
  await unsent({ name: ['a', at(AHEAD)] });
  await db.visit.put({
    ...recordOf(someId(), {}, { kind: 'visit', deleted: true, deleted_clock: at(8, OTHER) }),
    gone: 1,
  });
  assert.equal(await run(), at(8, DEVICE, 1));
});

test('fresh clocks pass what the server has shown', async () => {
  await unsent({ name: ['a', at(AHEAD)] });
  assert.equal(await run(at(6, OTHER)), at(6, DEVICE, 1));
});

test('a row that is given anew is offered again', async () => {
  const id = await unsent(
    { name: ['a', at(AHEAD)] },
    { held: 1, errors: { record: [{ code: 'x' }] }, tries: 2, not_before_ms: 3 },
  );
  const still = await unsent({ name: ['a', at(-1)] }, { held: 1, errors: { record: [{ code: 'x' }] } });
  await run();
  const { held, errors } = await db.outbox.get(id);
  assert.deepEqual([held, errors, (await db.outbox.get(still)).held], [0, null, 1]);
});

test('a confirmed record beside it stays as it is', async () => {
  await unsent({ name: ['a', at(AHEAD)] });
  const beside = { ...recordOf(someId(), { name: ['b', at(-3, OTHER)] }), gone: 0 };
  await db.bottle.put(beside);
  await run();
  assert.deepEqual(await db.bottle.get(beside.id), beside);
});

/**
 * Store a record whose row and outbox entry differ.
 * @param {any} row as for `recordOf`; null for none
 * @param {Record<string, [unknown, string]>} said by the outbox entry
 * @param {{ kind?: any, of?: any, more?: any }} [rest] of: the row's mark; more: the entry's
 */
async function differing(row, said, { kind = 'bottle', of = {}, more = {} } = {}) {
  const id = someId();
  if (row) await db.table(kind).put({ ...recordOf(id, row, { kind, ...of }), gone: 0 });
  await db.outbox.put(unsentOf(id, said, { kind, ...more }));
  return id;
}

test('a clock of the very moment is not ahead', async () => {
  const id = await unsent({ name: ['a', at(0, DEVICE, 3)] });
  assert.equal(await run(), at(0, DEVICE, 3));
  assert.deepEqual((await db.outbox.get(id)).clocks, { name: at(0, DEVICE, 3) });
});

test('a value that has lost keeps its clock', async () => {
  const rows = [
    { name: ['theirs', at(AHEAD + 50, OTHER)] },
    { name: ['a', at(AHEAD + 50, OTHER)] },
    { name: ['theirs', at(AHEAD)] },
    { name: [null, at(AHEAD)] },
  ];
  for (const row of rows) {
    await emptyBook();
    const id = await differing(row, { name: ['a', at(AHEAD)] }, { more: { held: 1 } });
    const before = await db.bottle.get(id);
    assert.equal(await run(), row.name[1]);
    assert.deepEqual(await db.bottle.get(id), before);
    const { clocks, held } = await db.outbox.get(id);
    assert.deepEqual([clocks, held], [{ name: at(AHEAD) }, 1]);
  }
});

test('a deletion that has lost keeps its clock', async () => {
  const deletion = { deleted: true, deleted_clock: at(AHEAD) };
  const id = await differing({}, {}, { of: { ...deletion, deleted: false }, more: deletion });
  await run();
  assert.equal((await db.outbox.get(id)).deleted_clock, at(AHEAD));
});

test('a lost value keeps the clock that another field shares', async () => {
  const row = { name: ['theirs', at(AHEAD + 50, OTHER)], region: ['r', at(AHEAD)] };
  const id = await differing(row, { name: ['a', at(AHEAD)], region: ['r', at(AHEAD)] });
  await run();
  const { clocks } = await db.outbox.get(id);
  assert.deepEqual([clocks.name, clocks.region], [at(AHEAD), at(AHEAD + 50, DEVICE, 1)]);
  const { fields } = await db.bottle.get(id);
  assert.deepEqual(fields, { name: 'theirs', region: 'r' });
});

test('an emptied value that is ahead is given anew', async () => {
  const id = await unsent({ name: [null, at(AHEAD)] });
  await db.bottle.update(id, { fields: {} });
  await run();
  assert.deepEqual((await db.outbox.get(id)).clocks, { name: at(0) });
});

test('a record that lacks the value or has an older one gets it', async () => {
  const older = await differing({ name: ['old', at(-5)] }, { name: ['a', at(AHEAD)] });
  const other = await differing({ region: ['r', at(-5)] }, { name: ['b', at(AHEAD + 1)] });
  const missing = await differing(null, { name: ['c', at(AHEAD + 2)] });
  await run();
  assert.deepEqual(await db.bottle.get(older), { ...recordOf(older, { name: ['a', at(0)] }), gone: 0 });
  const both = /** @type {any} */ ({ region: ['r', at(-5)], name: ['b', at(0, DEVICE, 1)] });
  assert.deepEqual(await db.bottle.get(other), { ...recordOf(other, both), gone: 0 });
  assert.deepEqual(await db.bottle.get(missing), {
    ...recordOf(missing, { name: ['c', at(0, DEVICE, 2)] }),
    gone: 0,
  });
});

test('confirmed values beside a fresh one stay', async () => {
  const bottle = await differing(
    { name: ['a', at(AHEAD)], grapes: ['g', at(-9, OTHER)] },
    { name: ['a', at(AHEAD)] },
    { of: { deleted: true, deleted_clock: at(-8, OTHER) } },
  );
  const tasting = await differing(
    { place: ['p', at(AHEAD + 1)], words: ['w', at(-7, OTHER)] },
    { place: ['p', at(AHEAD + 1)] },
    { kind: 'tasting' },
  );
  await run();
  const { fields, clocks, deleted, deleted_clock } = await db.bottle.get(bottle);
  assert.deepEqual(
    [fields, clocks],
    [
      { name: 'a', grapes: 'g' },
      { name: at(0), grapes: at(-9, OTHER) },
    ],
  );
  assert.deepEqual([deleted, deleted_clock], [true, at(-8, OTHER)]);
  assert.deepEqual((await db.tasting.get(tasting)).fields, { place: 'p', words: 'w' });
  assert.deepEqual(
    (await db.outbox.toArray()).map(({ fields: said }) => said),
    [{ name: 'a' }, { place: 'p' }],
  );
});

test('a deletion and a value that are ahead are both given anew', async () => {
  const id = await unsent({ name: ['a', at(AHEAD)] }, { deleted: true, deleted_clock: at(AHEAD + 1) });
  await run();
  const { clocks, deleted_clock, gone } = await db.bottle.get(id);
  assert.deepEqual([clocks, deleted_clock, gone], [{ name: at(0) }, at(0, DEVICE, 1), 1]);
});

test('a restoring that is ahead is given anew', async () => {
  const id = await unsent({ name: ['a', at(-5)] }, { deleted: false, deleted_clock: at(AHEAD) });
  await run();
  const { deleted, deleted_clock, gone } = await db.bottle.get(id);
  assert.deepEqual([deleted, deleted_clock, gone], [false, at(0), 0]);
});

test('fresh clocks pass an earlier value that stays', async () => {
  await unsent({ name: ['b', at(AHEAD)] }, { earlier: [saidOf({ region: ['r', at(0, DEVICE, 5)] })] });
  assert.equal(await run(), at(0, DEVICE, 6));
});

test('fresh clocks pass a confirmed record of an unknown kind', async () => {
  await unsent({ name: ['a', at(AHEAD)] });
  await db.unknown_kind.put({ ...recordOf(someId(), { x: ['p', at(9, OTHER)] }, { kind: 'hammer' }), gone: 0 });
  assert.equal(await run(), at(9, DEVICE, 1));
});

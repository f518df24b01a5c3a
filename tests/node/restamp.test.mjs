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

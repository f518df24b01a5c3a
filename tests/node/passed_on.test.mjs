// What another phone wrote on a merged bottle goes to its survivor (static/sync/merged_bottles.js).
import assert from 'node:assert/strict';
import test from 'node:test';
import { db } from '../../static/store/database.js';
import { save } from '../../static/store/write.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { buildRequest } from '../../static/sync/build_request.js';
import {
  NOW,
  OTHER,
  answerOf,
  at,
  emptyBook,
  recordOf,
  requestOf,
  setTiming,
  someId,
  unsentOf,
  useEmptyBook,
} from './support.mjs';

useEmptyBook();
const OLD = at(-9_000);
const LATE = at(-5_000, OTHER);

/** @typedef {Record<string, [unknown, string]>} Said */

/**
 * @param {{ into?: any, survivor?: Said, mark?: any }} [more]
 * @returns {Promise<[string, string]>} survivor and duplicate
 */
async function merged({ into, survivor = {}, mark = {} } = {}) {
  await emptyBook({}, { epoch: 'e1' });
  const [kept, twin] = [someId(), someId()];
  await put(recordOf(kept, { name: ['a', OLD], ...survivor }, mark));
  await put(recordOf(twin, { name: ['a', OLD], label_abv: [13, OLD], merged_into: [into ?? kept, OLD] }));
  return [kept, twin];
}

/** @param {any} record */
async function put(record) {
  await db.bottle.put({ ...record, gone: record.deleted ? 1 : 0 });
}

/** @param {any[]} changes @param {any} [more] */
async function receive(changes, more = {}) {
  const { cursor = 0 } = /** @type {any} */ (await db.meta.get('server'));
  const last = (await db.meta.get('clock'))?.last ?? null;
  const { outcomes = [], ...request } = more;
  const answer = answerOf({ cursor: cursor + 1, changes, outcomes });
  await applyResponse(answer, requestOf({ epoch: 'e1', last, ...request, cursor }));
}

/** @param {string} id @param {Said} said @returns {Promise<any>} the record as here, with these values */
async function withLate(id, said) {
  const { gone: _, ...row } = /** @type {any} */ (await db.bottle.get(id));
  const { fields, clocks } = recordOf(id, said);
  return { ...row, fields: { ...row.fields, ...fields }, clocks: { ...row.clocks, ...clocks } };
}

/** @param {string} id @returns {Promise<any>} */
const fieldsOf = async (id) => (await db.bottle.get(id))?.fields;

test('only what is new is passed on, once', async () => {
  const [kept, twin] = await merged();
  const page = [await withLate(twin, { producer: ['Quinta', LATE] })];
  await receive(page);
  assert.deepEqual(await db.bottle.get(kept), {
    ...recordOf(kept, { name: ['a', OLD], producer: ['Quinta', LATE] }),
    gone: 0,
  });
  assert.deepEqual(await db.outbox.toArray(), [unsentOf(kept, { producer: ['Quinta', LATE] })]);
  await db.outbox.clear();
  const clock = (await db.meta.get('clock'))?.last;
  await receive(page);
  await receive([await withLate(kept, {})]);
  assert.deepEqual([await db.outbox.count(), (await db.meta.get('clock'))?.last], [0, clock]);
});

test('a bottle that is not merged passes nothing on', async () => {
  const [kept, twin] = await merged();
  const undone = { merged_into: /** @type {[unknown, string]} */ ([null, LATE]) };
  await receive([await withLate(twin, { ...undone, producer: ['Quinta', LATE] })]);
  await receive([await withLate(twin, { producer: ['Quinta da', at(-4_000, OTHER)] })]);
  await receive([recordOf(someId(), { name: ['b', LATE] })]);
  assert.deepEqual(await fieldsOf(kept), { name: 'a' });
  assert.equal(await db.outbox.count(), 0);
});

test('emptied values and bookkeeping are not passed on', async () => {
  const survivor = /** @type {Said} */ ({ label_abv: [12, OLD], label_words: [['reserve'], OLD], words: ['w', OLD] });
  const [kept, twin] = await merged({ survivor });
  const before = await db.bottle.get(kept);
  await receive([
    await withLate(twin, {
      label_abv: [null, LATE],
      label_words: [[], LATE],
      words: ['', LATE],
      apart_from: [[someId()], LATE],
      example: [true, LATE],
      covered: [true, LATE],
      merged_into: [kept, LATE],
    }),
  ]);
  assert.deepEqual([await db.bottle.get(kept), await db.outbox.count()], [before, 0]);
});

test('a zero is passed on', async () => {
  const [kept, twin] = await merged();
  await receive([await withLate(twin, { residual_sugar_gl: [0, LATE] })]);
  assert.equal((await fieldsOf(kept)).residual_sugar_gl, 0);
});

test('of several values only the later ones are passed on', async () => {
  const survivor = /** @type {Said} */ ({ label_abv: [12, at(-1_000)], region: ['Dao', LATE] });
  const [kept, twin] = await merged({ survivor });
  await receive([await withLate(twin, { label_abv: [14, LATE], region: ['Bairrada', LATE], words: ['w', LATE] })]);
  assert.deepEqual(await fieldsOf(kept), { name: 'a', label_abv: 12, region: 'Dao', words: 'w' });
  assert.deepEqual((await db.outbox.get(kept))?.fields, { words: 'w' });
});

test('unsent and earlier values of the survivor are kept', async () => {
  const [kept, twin] = await merged({ survivor: { producer: ['own', at(-6_000)], region: ['Dao', OLD] } });
  const earlier = [{ fields: { name: 'b' }, clocks: { name: at(-9_500) }, deleted: false, deleted_clock: null }];
  const mark = { deleted: false, deleted_clock: OLD };
  const said = /** @type {Said} */ ({ producer: ['own', at(-6_000)], region: ['Dao', OLD] });
  await db.outbox.put(unsentOf(kept, said, { ...mark, earlier, held: 1, errors: { region: [] }, not_before_ms: 9 }));
  await receive([await withLate(twin, { producer: ['Quinta', LATE] })]);
  const replaced = { fields: { producer: 'own' }, clocks: { producer: at(-6_000) }, deleted: false };
  assert.deepEqual(
    await db.outbox.get(kept),
    unsentOf(
      kept,
      { producer: ['Quinta', LATE], region: ['Dao', OLD] },
      { ...mark, earlier: [...earlier, { ...replaced, deleted_clock: null }] },
    ),
  );
});

test('a deleted or unknown survivor gets nothing', async () => {
  const [kept, twin] = await merged({ mark: { deleted: true, deleted_clock: at(-1_000) } });
  await receive([await withLate(twin, { producer: ['Quinta', LATE] })]);
  assert.deepEqual([(await db.bottle.get(kept))?.gone, await fieldsOf(kept)], [1, { name: 'a' }]);
  const [, other] = await merged({ into: someId() });
  await receive([await withLate(other, { producer: ['Quinta', LATE] })]);
  assert.equal(await db.outbox.count(), 0);
});

/** @param {string} end @param {number} steps @returns {Promise<string>} the first of a chain that ends there */
async function chainTo(end, steps) {
  let id = end;
  for (let step = 0; step < steps; step += 1) {
    const before = someId();
    await put(recordOf(before, { name: ['a', OLD], merged_into: [id, OLD] }));
    id = before;
  }
  return id;
}

for (const [steps, producer] of /** @type {[number, unknown][]} */ ([
  [1, 'Quinta'],
  [8, 'Quinta'],
  [9, undefined],
])) {
  test(`a chain of ${steps} merges ${producer ? 'is followed' : 'is too long'}`, async () => {
    const [kept] = await merged();
    const first = await chainTo(kept, steps);
    await receive([await withLate(first, { producer: ['Quinta', LATE] })]);
    assert.equal((await fieldsOf(kept)).producer, producer);
    assert.deepEqual(await db.outbox.toCollection().primaryKeys(), producer ? [kept] : []);
  });
}

test('a circle of merges writes nothing', async () => {
  const [kept, twin] = await merged();
  await put(recordOf(kept, { merged_into: [twin, OLD] }));
  await receive([
    await withLate(twin, { producer: ['Quinta', LATE] }),
    await withLate(kept, { producer: ['Casa', LATE] }),
  ]);
  assert.equal(await db.outbox.count(), 0);
});

test('writer and merger pass the same on, in equal entries', async () => {
  const [kept, twin] = await merged();
  const page = [await withLate(twin, { producer: ['Quinta', LATE] })];
  await receive(page);
  const merger = [await db.bottle.get(kept), await db.outbox.toArray()];
  await put(recordOf(kept, { name: ['a', OLD] }));
  await put(recordOf(twin, { name: ['a', OLD], label_abv: [13, OLD], producer: ['Quinta', LATE] }));
  await db.outbox.clear();
  await receive(page, { sent: [recordOf(twin, { producer: ['Quinta', LATE] })] });
  assert.deepEqual([await db.bottle.get(kept), await db.outbox.toArray()], merger);
});

test('what was sent elsewhere, or with the merge, stays', async () => {
  const [kept, twin] = await merged();
  const said = /** @type {Said} */ ({ producer: ['Quinta', LATE] });
  const apart = someId();
  await put(recordOf(apart, said));
  const sent = [recordOf(apart, said), recordOf(twin, { ...said, merged_into: [kept, LATE] })];
  await put(await withLate(twin, { ...said, merged_into: [kept, LATE] }));
  await receive([await withLate(apart, {}), await withLate(twin, {})], { sent });
  assert.deepEqual([await fieldsOf(kept), await db.outbox.count()], [{ name: 'a' }, 0]);
});

test('what the answer does not name is not passed on', async () => {
  const [kept, twin] = await merged();
  await receive([await withLate(kept, {})], { sent: [recordOf(twin, { producer: ['Quinta', LATE] })] });
  assert.equal(await db.outbox.count(), 0);
});

test('a value passed on stays while the survivor is sent', async () => {
  const [kept, twin] = await merged();
  await save('bottle', kept, { region: 'Dao' });
  // Built before the page below was applied, as while it is on its way.
  const request = await buildRequest(10, 1_000);
  await receive([await withLate(twin, { producer: ['Quinta', LATE] })]);
  const outcomes = request.sent.map(({ id }) => ({ id, outcome: 'applied' }));
  await receive([], { ...request, outcomes });
  assert.deepEqual((await db.outbox.get(kept))?.fields, { producer: 'Quinta' });
});

test('what is passed on moves the clock by the time of the server', async () => {
  const [, twin] = await merged();
  setTiming({ skew_ms: 1_000 });
  const changes = [await withLate(twin, { producer: ['Quinta', LATE] })];
  await applyResponse(answerOf({ cursor: 1, now: NOW + 600_000, changes }), requestOf({ epoch: 'e1' }));
  assert.equal((await db.meta.get('clock'))?.last, at(600_000));
});

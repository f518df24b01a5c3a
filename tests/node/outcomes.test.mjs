import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { toChange, toChanges } from '../../static/store/outbox.js';
import { allAccepted, removeAccepted, reject, applyOutcomes } from '../../static/sync/outcomes.js';
import { db, transaction } from '../../static/store/database.js';
import { at, emptyBook, recordOf, saidOf, setTiming, someId, unsentOf } from './support.mjs';

beforeEach(async () => {
  setTiming({});
  await emptyBook();
});

/** @param {any[]} outcomes @param {any[]} sent */
const settle = (outcomes, sent) => transaction('rw', ['outbox'], (book) => applyOutcomes(book, outcomes, sent));
const rowsNow = async (rows) => db.outbox.bulkGet(rows.map(({ id }) => id));

/** @param {number} count @param {any} [more] */
async function rows(count, more) {
  const made = Array.from({ length: count }, () => unsentOf(someId(), { name: ['a', at(1)] }, more));
  await db.outbox.bulkPut(made);
  return made;
}

test('records that were taken leave the outbox', async () => {
  const made = await rows(3);
  const outcomes = [
    { id: made[0].id, outcome: 'applied' },
    { id: made[1].id, outcome: 'duplicate' },
  ];
  assert.deepEqual(await settle(outcomes, made.slice(0, 2).map(toChange)), {
    accepted: 2,
    rejected: 0,
    restamp: false,
  });
  assert.deepEqual(await rowsNow(made), [undefined, undefined, made[2]]);
});

test('a request that carried nothing reads nothing', async () => {
  const made = await rows(1);
  const read = mock.method(db.outbox, 'bulkGet');
  assert.deepEqual(await settle([], []), { accepted: 0, rejected: 0, restamp: false });
  assert.equal(read.mock.callCount(), 0);
  read.mock.restore();
  assert.deepEqual(await rowsNow(made), made);
});

test('a refused record is held with its reason', async () => {
  const [row, other] = await rows(2, { tries: 3 });
  const errors = { name: [{ code: 'too_long', bound: 3 }] };
  const counts = await settle(
    [
      { id: row.id, outcome: 'refused', errors },
      { id: null, outcome: 'refused' },
    ],
    [row, other].map(toChange),
  );
  assert.deepEqual(counts, { accepted: 0, rejected: 2, restamp: false });
  assert.deepEqual(await rowsNow([row, other]), [
    { ...row, held: 1, errors, tries: 0 },
    { ...other, held: 1, errors: { record: [{ code: 'refused' }] }, tries: 0 },
  ]);
});

test('a record whose clock is ahead stays as it is', async () => {
  const [row] = await rows(1, { held: 2, tries: 2 });
  assert.deepEqual(await settle([{ id: row.id, outcome: 'restamp' }], [toChange(row)]), {
    accepted: 0,
    rejected: 0,
    restamp: true,
  });
  assert.deepEqual(await rowsNow([row]), [row]);
});

test('an outcome of another record is not heard', async () => {
  const made = await rows(2);
  const outcomes = [{ id: made[1].id, outcome: 'applied' }];
  assert.deepEqual(await settle(outcomes, made.map(toChange)), { accepted: 0, rejected: 0, restamp: false });
  assert.deepEqual(await rowsNow(made), made);
});

test('an outcome of a record that is gone is not heard', async () => {
  const [row] = await rows(1);
  const gone = recordOf(someId(), { name: ['a', at(1)] });
  const counts = await settle(
    [
      { id: gone.id, outcome: 'applied' },
      { id: row.id, outcome: 'applied' },
    ],
    [gone, toChange(row)],
  );
  assert.deepEqual(counts, { accepted: 1, rejected: 0, restamp: false });
  assert.equal(await db.outbox.count(), 0);
});

test('a record that was edited meanwhile goes up anew', async () => {
  const row = unsentOf(someId(), { name: ['a', at(1)], region: ['r', at(5)] }, { held: 2, tries: 4 });
  const again = unsentOf(someId(), { region: ['r', at(5)] }, { held: 1, errors: {}, tries: 4 });
  await db.outbox.bulkPut([row, again]);
  const sent = [row, again].map(({ id }) => recordOf(id, { name: ['a', at(1)] }));
  await settle(
    sent.map(({ id }) => ({ id, outcome: 'applied' })),
    sent,
  );
  assert.deepEqual(await rowsNow([row, again]), [unsentOf(row.id, { region: ['r', at(5)] }), { ...again, tries: 0 }]);
});

test('each version of a record has its own outcome', async () => {
  const earlier = [saidOf({ name: ['a', at(1)] }), saidOf({ name: ['b', at(2)] })];
  const row = unsentOf(someId(), { name: ['c', at(3)] }, { earlier });
  await db.outbox.put(row);
  const tell = (...outcomes) =>
    settle(
      outcomes.map((outcome) => ({ id: row.id, outcome })),
      toChanges(row).slice(0, outcomes.length),
    );
  assert.deepEqual(await tell('applied', 'refused'), { accepted: 1, rejected: 1, restamp: false });
  assert.deepEqual(await rowsNow([row]), [unsentOf(row.id, { name: ['c', at(3)] })]);
  await db.outbox.put(row);
  assert.deepEqual(await tell('applied', 'refused', 'applied'), { accepted: 2, rejected: 1, restamp: false });
  assert.deepEqual(await rowsNow([row]), [undefined]);
  // An entry that the first outcome has removed is not processed again.
  const doubled = toChange(row);
  await db.outbox.put(doubled);
  assert.deepEqual(
    await settle(
      [1, 2].map(() => ({ id: row.id, outcome: 'applied' })),
      [doubled, doubled],
    ),
    { accepted: 1, rejected: 0, restamp: false },
  );
});

test('a refused earlier version leaves the row alone', () => {
  const [first, second] = [saidOf({ name: ['a', at(1)] }), saidOf({ name: ['b', at(2)] })];
  const row = unsentOf('one', { name: ['c', at(3)] }, { earlier: [first, second] });
  assert.deepEqual(reject(row, recordOf('one', { name: ['a', at(1)] }), {}), { ...row, earlier: [second] });
  assert.deepEqual(reject(row, recordOf('one', { name: ['x', at(1)] }), {}), row);
  assert.deepEqual(reject(row, recordOf('one', { name: ['c', at(3)] }), {}), { ...row, held: 1, errors: {} });
  assert.equal(reject(unsentOf('one', {}, { earlier: [first] }), recordOf('one', { name: ['a', at(1)] }), {}), null);
});

test('all was taken where each record says so', () => {
  const sent = [recordOf('one', {}), recordOf('two', {})];
  const tell = (...outcomes) => outcomes.map((outcome, place) => ({ id: sent[place].id, outcome }));
  assert.equal(allAccepted(tell('applied', 'duplicate'), sent), true);
  for (const outcome of ['refused', 'restamp']) assert.equal(allAccepted(tell('applied', outcome), sent), false);
  assert.equal(allAccepted(tell('applied'), sent), false);
  assert.equal(allAccepted([], []), false);
  assert.equal(allAccepted(tell('applied', 'applied').reverse(), sent), false);
});

const calls = (...names) => names.map((name) => mock.method(db.outbox, name));

test('a rejected record stays when a page has removed a sent one', async () => {
  const made = await rows(52);
  const sent = made.filter((_, place) => place !== 20).map(toChange);
  await db.outbox.delete(made[30].id);
  assert.equal(await db.outbox.count(), sent.length);
  await transaction('rw', ['outbox'], (book) => removeAccepted(book, sent));
  assert.deepEqual(await db.outbox.toArray(), [made[20]]);
});

for (const [count, split, way] of [
  [49, false, 'bulkDelete'],
  [50, false, 'where'],
  [50, true, 'bulkDelete'],
  [51, true, 'bulkDelete'],
]) {
  test(`${count} records ${split ? 'with one between them ' : ''}are dropped by ${way}`, async () => {
    const made = await rows(count + 1);
    const between = made.splice(1, 1);
    const before = unsentOf('0', { name: ['a', at(1)] });
    const after = unsentOf('z', { name: ['a', at(1)] });
    await db.outbox.bulkPut([before, after]);
    if (!split) await db.outbox.delete(between[0].id);
    const sent = made.map(toChange).reverse();
    const [bulkDelete] = calls('bulkDelete');
    assert.deepEqual(await transaction('rw', ['outbox'], (book) => removeAccepted(book, [...sent, sent[0]])), {
      accepted: count + 1,
      rejected: 0,
      restamp: false,
    });
    assert.equal(bulkDelete.mock.callCount() > 0, way === 'bulkDelete');
    bulkDelete.mock.restore();
    assert.deepEqual(await rowsNow([before, ...between, after]), [before, split ? between[0] : undefined, after]);
    assert.equal(await db.outbox.count(), split ? 3 : 2);
  });

  test(`${count} outcomes ${split ? 'with one between them ' : ''}are settled by ${way}`, async () => {
    const made = await rows(count + 1);
    const between = made.splice(1, 1);
    if (!split) await db.outbox.delete(between[0].id);
    const sent = made.map(toChange);
    const [bulkDelete, bulkGet] = calls('bulkDelete', 'bulkGet');
    const counts = await settle(
      sent.map(({ id }) => ({ id, outcome: 'applied' })),
      sent,
    );
    assert.deepEqual(
      [bulkDelete.mock.callCount() > 0, bulkGet.mock.callCount() > 0],
      [way === 'bulkDelete', count < 50],
    );
    for (const one of [bulkDelete, bulkGet]) one.mock.restore();
    assert.deepEqual(counts, { accepted: count, rejected: 0, restamp: false });
    assert.deepEqual(await db.outbox.toArray(), split ? between : []);
  });
}

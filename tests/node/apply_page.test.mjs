import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { applyPage, latestClock } from '../../static/sync/apply_page.js';
import { db, transaction } from '../../static/store/database.js';
import { DEVICE, at, emptyBook, recordOf, saidOf, someId, unsentOf } from './support.mjs';

beforeEach(() => emptyBook());

/** @param {any[]} changes */
async function apply(changes) {
  const { moved, last } = await transaction(
    'rw',
    db.tables.map(({ name }) => name),
    (book) => applyPage(book, changes, DEVICE),
  );
  return { moved: [...moved], last };
}

test('an empty page moves nothing', async () => {
  assert.deepEqual(await apply([]), { moved: [], last: null });
});

test('a page goes into the tables of its kinds', async () => {
  const [one, other] = [
    recordOf(someId(), { name: ['a', at(1)] }),
    recordOf(someId(), { place: ['p', at(2)] }, { kind: 'tasting' }),
  ];
  assert.deepEqual(
    await apply([
      { ...one, seq: 1 },
      { ...other, seq: 2 },
    ]),
    { moved: ['bottle', 'tasting'], last: at(2) },
  );
  assert.deepEqual(await db.bottle.toArray(), [{ ...one, gone: 0 }]);
  assert.deepEqual(await db.tasting.toArray(), [{ ...other, gone: 0 }]);
});

test('a deleted record is gone', async () => {
  const one = recordOf(someId(), { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(3) });
  assert.equal((await apply([one])).last, at(3));
  assert.deepEqual(await db.bottle.get(one.id), { ...one, gone: 1 });
});

test('an emptied record overrules what the phone holds of it', async () => {
  const mark = { deleted: true, deleted_clock: at(5) };
  for (const kind of ['tasting', 'photo']) {
    const id = someId();
    const held = recordOf(id, { words: ['secret', at(1)], place: [null, at(2)] }, { kind });
    await db.table(kind).put({ ...held, gone: 0 });
    await db.cache.put({ name: `earlier:${kind}:${id}`, revisions: [{ value: 'a secret' }] });
    await db.photo_bytes.put({ id, bytes: new ArrayBuffer(3), state: 'sent' });
    // Deleted, it may still be put back.
    await apply([recordOf(id, { words: ['secret', at(1)], place: [null, at(2)] }, { kind, ...mark })]);
    assert.equal(await db.cache.count(), 1);
    assert.notEqual(await db.photo_bytes.get(id), undefined);
    const emptied = recordOf(id, { words: [null, at(5)], place: [null, at(2)] }, { kind, ...mark });
    await apply([emptied]);
    assert.deepEqual(await db.table(kind).get(id), { ...emptied, gone: 1 });
    assert.equal(await db.cache.count(), 0);
    // Bytes are those of a photo only under its own id.
    assert.equal(Boolean(await db.photo_bytes.get(id)), kind !== 'photo');
  }
});

test('a record of an unknown kind is kept aside', async () => {
  const one = recordOf(someId(), { name: ['a', at(1)] }, { kind: 'cork' });
  assert.deepEqual((await apply([one])).moved, ['unknown_kind']);
  assert.deepEqual(await db.unknown_kind.get(one.id), { ...one, gone: 0 });
});

test('a record without a deletion mark has none', async () => {
  const { deleted, deleted_clock, ...one } = recordOf(someId(), { name: ['a', at(1)] });
  await apply([one]);
  assert.deepEqual(await db.bottle.get(one.id), { ...one, deleted, deleted_clock, gone: 0 });
  const two = { ...recordOf(someId(), {}), deleted_clock: undefined };
  await apply([two]);
  assert.equal((await db.bottle.get(two.id)).deleted_clock, null);
});

test('a page is merged into what is held', async () => {
  const id = someId();
  await db.bottle.put({ ...recordOf(id, { name: ['mine', at(5)], region: ['r', at(1)] }), gone: 0 });
  await apply([recordOf(id, { name: ['theirs', at(3)], region: ['s', at(3)] })]);
  assert.deepEqual(await db.bottle.get(id), {
    ...recordOf(id, { name: ['mine', at(5)], region: ['s', at(3)] }),
    gone: 0,
  });
});

test('a page that is known already moves nothing', async () => {
  const one = recordOf(someId(), { name: ['a', at(1)] });
  await apply([one]);
  const puts = mock.method(db.Table.prototype, 'bulkPut');
  assert.deepEqual(await apply([one]), { moved: [], last: at(1) });
  assert.deepEqual(
    puts.mock.calls.flatMap(({ arguments: [rows] }) => rows),
    [],
  );
  puts.mock.restore();
});

test('a long page is taken in lots', async () => {
  const changes = Array.from({ length: 101 }, (_, place) =>
    recordOf(someId(), { name: [String(place), at(200 - place)] }),
  );
  const puts = mock.method(db.Table.prototype, 'bulkPut');
  assert.equal((await apply(changes)).last, at(200));
  assert.deepEqual(
    puts.mock.calls.map(({ arguments: [rows] }) => rows.length),
    [50, 50, 1],
  );
  puts.mock.restore();
  assert.equal(await db.bottle.count(), 101);
});

test('what the server shows leaves the outbox', async () => {
  const rows = [0, 1, 2].map(() => unsentOf(someId(), { name: ['a', at(1)], region: ['r', at(2)] }));
  await db.outbox.bulkPut(rows);
  await apply([
    recordOf(rows[0].id, { name: ['a', at(1)], region: ['r', at(2)] }),
    recordOf(someId(), { name: ['a', at(1)] }),
    recordOf(rows[1].id, { name: ['a', at(1)] }),
  ]);
  assert.deepEqual(await db.outbox.bulkGet(rows.map(({ id }) => id)), [
    undefined,
    unsentOf(rows[1].id, { region: ['r', at(2)] }),
    rows[2],
  ]);
});

test('the one row of an outbox leaves it too', async () => {
  const row = unsentOf(someId(), { name: ['a', at(1)] });
  await db.outbox.put(row);
  await apply([recordOf(row.id, { name: ['a', at(1)] })]);
  assert.equal(await db.outbox.count(), 0);
});

test('a value that has lost stays in the outbox', async () => {
  const row = unsentOf(someId(), { name: ['mine', at(1)] }, { earlier: [saidOf({ name: ['older', at(0)] })] });
  await db.outbox.put(row);
  await apply([recordOf(row.id, { name: ['theirs', at(3)] })]);
  assert.deepEqual(await db.outbox.get(row.id), row);
});

test('an empty outbox is not looked into', async () => {
  const read = mock.method(db.outbox, 'bulkGet');
  await apply([recordOf(someId(), { name: ['a', at(1)] })]);
  assert.equal(read.mock.callCount(), 0);
  read.mock.restore();
});

test('a page that empties nothing deletes no copies', async () => {
  const deletes = mock.method(db.Table.prototype, 'bulkDelete');
  await apply([recordOf(someId(), { name: ['a', at(1)] })]);
  assert.equal(deletes.mock.callCount(), 0);
  deletes.mock.restore();
});

test('the last clock of a record may be its deletion', () => {
  assert.equal(
    latestClock(recordOf('one', { name: ['a', at(4)], region: ['r', at(6)] }, { deleted_clock: at(5) })),
    at(6),
  );
  assert.equal(latestClock(recordOf('one', { name: ['a', at(4)] }, { deleted_clock: at(5) })), at(5));
  assert.equal(latestClock(recordOf('one', {})), null);
});

test('a row at either end of the ids of a page is merged', async () => {
  const ids = [someId(), someId(), someId()];
  for (const known of ids) {
    await emptyBook();
    const mine = recordOf(known, { place: ['mine', at(1)] });
    await db.bottle.put({ ...mine, gone: 0 });
    // The order of a page is that of the changes, not of the ids.
    await apply([ids[1], ids[2], ids[0]].map((id) => recordOf(String(id), { name: ['theirs', at(2)] })));
    assert.deepEqual((await db.bottle.get(known)).fields, { place: 'mine', name: 'theirs' });
    assert.equal(await db.bottle.count(), 3);
  }
});

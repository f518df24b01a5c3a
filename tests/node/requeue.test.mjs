import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { markAllUnconfirmed } from '../../static/sync/requeue.js';
import { db, transaction } from '../../static/store/database.js';
import { at, emptyBook, recordOf, saidOf, someId, unsentOf } from './support.mjs';

beforeEach(() => emptyBook());

const mark = () =>
  transaction(
    'rw',
    db.tables.map(({ name }) => name),
    markAllUnconfirmed,
  );

test('a server that was set back gets the whole book', async () => {
  const kinds = ['bottle', 'tasting', 'visit', 'pick', 'stock', 'photo', 'settings', 'cork'];
  const records = kinds.map((kind) => recordOf(someId(), { name: ['a', at(1)] }, { kind }));
  for (const record of records)
    await db.table(record.kind === 'cork' ? 'unknown_kind' : record.kind).put({ ...record, gone: 0 });
  await mark();
  assert.deepEqual(
    await db.outbox.toArray(),
    records.map((record) => ({ ...unsentOf(record.id, {}), ...record })),
  );
});

test('a record that says nothing is not offered', async () => {
  const empty = recordOf(someId(), {});
  await db.bottle.put({ ...empty, gone: 0 });
  await mark();
  assert.equal(await db.outbox.count(), 0);
});

test('a row of the outbox keeps its other values', async () => {
  const record = recordOf(someId(), { name: ['theirs', at(5)] });
  await db.bottle.put({ ...record, gone: 0 });
  await db.outbox.put(unsentOf(record.id, { name: ['mine', at(1)] }, { held: 1, errors: {} }));
  await mark();
  assert.deepEqual(await db.outbox.toArray(), [
    { ...unsentOf(record.id, {}), ...record, earlier: [saidOf({ name: ['mine', at(1)] })] },
  ]);
});

test('a long book is offered in lots', async () => {
  const records = Array.from({ length: 401 }, () => ({ ...recordOf(someId(), { name: ['a', at(1)] }), gone: 0 }));
  await db.bottle.bulkPut(records);
  const puts = mock.method(db.outbox, 'bulkPut');
  await mark();
  assert.deepEqual(
    puts.mock.calls.map(({ arguments: [rows] }) => rows.length),
    [200, 200, 1],
  );
  puts.mock.restore();
  assert.equal(await db.outbox.count(), 401);
});

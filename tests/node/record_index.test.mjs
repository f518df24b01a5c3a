import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { RecordIndex } from '../../static/store/record_index.js';
import { db } from '../../static/store/database.js';
import { toRow } from '../../static/store/record.js';
import { at, emptyBook, recordOf, someId } from './support.mjs';

beforeEach(emptyBook);

/** @param {string} id @param {string} name @param {any} [more] */
const rowOf = (id, name, more) => toRow(recordOf(id, { name: [name, at(1)] }, more));
const GONE = { deleted: true, deleted_clock: at(2) };

/** Create an index that notes which records it reads. */
function indexOf(kind = /** @type {const} */ ('bottle')) {
  /** @type {string[]} */
  const read = [];
  const index = new RecordIndex(kind, ({ id, fields }) => {
    read.push(id);
    return fields['name'];
  });
  return { index, reads: () => read.splice(0) };
}

/** @param {RecordIndex<string>} index */
const found = async (index) => Object.fromEntries(await index.refreshed());

test('an index has the records that are not deleted', async () => {
  const [one, two] = [someId(), someId()];
  await db.bottle.bulkPut([rowOf(one, 'a'), rowOf(two, 'b', GONE)]);
  assert.deepEqual(await found(indexOf().index), { [one]: 'a' });
});

test('an index with deleted records keeps them', async () => {
  const [one, two] = [someId(), someId()];
  await db.bottle.bulkPut([rowOf(one, 'a'), rowOf(two, 'b', GONE)]);
  const index = new RecordIndex('bottle', ({ fields }) => fields['name'], { withDeleted: true });
  assert.deepEqual(await found(index), { [one]: 'a', [two]: 'b' });
  await db.bottle.put(rowOf(one, 'a', GONE));
  assert.deepEqual(await found(index), { [one]: 'a', [two]: 'b' });
  await db.bottle.bulkDelete([two]);
  assert.deepEqual(await found(index), { [one]: 'a' });
});

test('an index reads again only what has changed', async () => {
  const [one, two, three] = [someId(), someId(), someId()];
  await db.bottle.bulkPut([rowOf(one, 'a'), rowOf(two, 'b')]);
  const { index, reads } = indexOf();
  await found(index);
  assert.deepEqual(reads(), [one, two]);
  assert.deepEqual(await found(index), { [one]: 'a', [two]: 'b' });
  assert.deepEqual(reads(), []);
  await db.bottle.bulkPut([rowOf(one, 'A'), rowOf(three, 'c')]);
  await db.tasting.put(toRow(recordOf(two, {}, { kind: 'tasting' })));
  assert.deepEqual(await found(index), { [one]: 'A', [two]: 'b', [three]: 'c' });
  assert.deepEqual(reads(), [one, three]);
  await db.bottle.put(rowOf(two, 'b', GONE));
  assert.deepEqual(await found(index), { [one]: 'A', [three]: 'c' });
  assert.deepEqual(reads(), []);
});

test('an index loses a record that leaves no row', async () => {
  const [one, two] = [someId(), someId()];
  await db.bottle.bulkPut([rowOf(one, 'a'), rowOf(two, 'b')]);
  const { index } = indexOf();
  await found(index);
  index.takeChanges();
  await db.bottle.bulkDelete([one]);
  assert.deepEqual(await found(index), { [two]: 'b' });
  assert.deepEqual(index.takeChanges(), new Set([one]));
});

test('an index without changes reads nothing', async () => {
  const { index } = indexOf();
  await found(index);
  const read = mock.method(db.bottle, 'bulkGet').mock;
  await found(index);
  assert.equal(read.callCount(), 0);
  mock.restoreAll();
});

test('an index that was not read hears of no change', async () => {
  const { index } = indexOf();
  const id = someId();
  index.changed({ [`idb://${db.name}/bottle/`]: { d: 1, from: id, to: id } });
  assert.deepEqual([index.stale, index.takeChanges()], [null, null]);
});

test('an index hears of a change while it is first read', async () => {
  const [one, other] = [someId(), someId()];
  await db.bottle.put(rowOf(one, 'a'));
  const index = new RecordIndex('bottle', () => {
    index.changed({ [`idb://${db.name}/bottle/`]: { d: 1, from: other, to: other } });
  });
  await index.refreshed();
  assert.deepEqual(index.stale, new Set([other]));
});

test('an index is read whole once invalid or much changed', async () => {
  const [one, two] = [someId(), someId()];
  await db.bottle.bulkPut([rowOf(one, 'a'), rowOf(two, 'b')]);
  const { index, reads } = indexOf();
  await found(index);
  reads();
  index.invalidate();
  await found(index);
  assert.deepEqual(reads(), [one, two]);
  await db.bottle.clear();
  assert.deepEqual(await found(index), {}, 'a range of keys has changed');
});

test('more than five hundred changes are read at once', async () => {
  const { index } = indexOf();
  await found(index);
  const many = Array.from({ length: 500 }, someId);
  const ranges = (/** @type {string[]} */ ids) => ({
    [`idb://${db.name}/bottle/`]: ids.map((id) => ({ d: 1, from: id, to: id })).reduce((l, tree) => ({ ...tree, l })),
  });
  index.changed(ranges(many));
  assert.equal(index.stale?.size, 500);
  index.changed(ranges([someId()]));
  assert.equal(index.stale, null);
  index.changed(ranges([someId()]));
  assert.equal(index.stale, null, 'all of it is read in any case');
});

test('changes on both sides of a range tree are noted', async () => {
  const { index } = indexOf();
  await found(index);
  const ids = [someId(), someId(), someId()];
  const [leaf, left, right] = ids.map((id) => ({ d: 1, from: id, to: id }));
  index.changed({ [`idb://${db.name}/bottle/`]: { ...leaf, l: left, r: right } });
  assert.deepEqual([...(index.stale ?? [])], ids);
  index.changed({ [`idb://${db.name}/bottle/`]: { d: 0 } });
  index.changed({ 'idb://other/bottle/': leaf });
  assert.deepEqual([...(index.stale ?? [])], ids);
});

test('calls at the same time read once', async () => {
  const one = someId();
  await db.bottle.put(rowOf(one, 'a'));
  const { index, reads } = indexOf();
  const [first, second] = await Promise.all([index.refreshed(), index.refreshed()]);
  assert.equal(first, second);
  assert.deepEqual(reads(), [one]);
});

test('after a failed read everything is read again', async () => {
  const one = someId();
  await db.bottle.put(rowOf(one, 'a'));
  let fails = true;
  const index = new RecordIndex('bottle', ({ fields }) => {
    if (fails) throw new TypeError('no summary');
    return fields['name'];
  });
  await assert.rejects(index.refreshed(), TypeError);
  fails = false;
  assert.deepEqual(await found(index), { [one]: 'a' });
});

test('an index reads a large table in pieces', async () => {
  const ids = Array.from({ length: 450 }, someId);
  await db.bottle.bulkPut(ids.map((id) => rowOf(id, 'a')));
  const whole = mock.method(Object.getPrototypeOf(db.bottle), 'toArray').mock;
  const limits = mock.method(Object.getPrototypeOf(db.bottle.toCollection()), 'limit').mock;
  const { index, reads } = indexOf();
  await index.refreshed();
  assert.deepEqual(reads(), ids);
  assert.equal(whole.callCount(), 0);
  assert.deepEqual(
    limits.calls.map((call) => call.arguments[0]),
    [200, 200, 200],
  );
  mock.restoreAll();
});

test('a change between two pieces is read afterwards', async () => {
  const ids = Array.from({ length: 300 }, someId);
  await db.bottle.bulkPut(ids.map((id) => rowOf(id, 'a')));
  const { index } = indexOf();
  const reading = index.refreshed();
  const early = String(ids[3]);
  await db.bottle.put(rowOf(early, 'changed'));
  await reading;
  assert.equal((await found(index))[early], 'changed');
});

test('an index tells what changed since it was asked', async () => {
  const [one, two] = [someId(), someId()];
  await db.bottle.bulkPut([rowOf(one, 'a'), rowOf(two, 'b')]);
  const { index } = indexOf();
  await found(index);
  assert.equal(index.takeChanges(), null, 'everything was read');
  await found(index);
  assert.deepEqual(index.takeChanges(), new Set());
  await db.bottle.put(rowOf(one, 'A'));
  await found(index);
  await db.bottle.put(rowOf(two, 'b', GONE));
  await found(index);
  assert.deepEqual(index.takeChanges(), new Set([one, two]));
  index.invalidate();
  await found(index);
  assert.equal(index.takeChanges(), null);
});

test('a large index reads up to a quarter of its records again', async () => {
  const ids = Array.from({ length: 2400 }, someId);
  await db.bottle.bulkPut(ids.map((id) => rowOf(id, 'a')));
  const { index } = indexOf();
  await found(index);
  const ranges = ids.map((id) => ({ d: 1, from: id, to: id }));
  for (const range of ranges.slice(0, 600)) index.changed({ [`idb://${db.name}/bottle/`]: range });
  assert.equal(index.stale?.size, 600);
  index.changed({ [`idb://${db.name}/bottle/`]: ranges[600] });
  assert.equal(index.stale, null);
});

// A save with full storage, and edits that are older than their write.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { StoreError, newId, save, commitEdits } from '../../static/store/write.js';
import { splitStale } from '../../static/store/stale_edits.js';
import { db } from '../../static/store/database.js';
import { NOW, abortOnce, at, emptyBook, recordOf, setTiming } from './support.mjs';

beforeEach(async () => {
  setTiming({});
  mock.timers.enable({ apis: ['Date'], now: NOW });
  await emptyBook();
});
afterEach(() => {
  mock.restoreAll();
  mock.timers.reset();
});

/**
 * @param {unknown} error thrown by the next writes to the outbox
 * @param {number} times
 */
function failing(error, times) {
  const bulkPut = db.outbox.bulkPut;
  let left = times;
  return mock.method(db.outbox, 'bulkPut', function put(...args) {
    left -= 1;
    return left < 0 ? bulkPut.apply(this, args) : Promise.reject(error);
  });
}

const full = () => Object.assign(new Error('full'), { name: 'QuotaExceededError' });

test('a full phone makes room and writes once more', async () => {
  await db.cache.put({ name: 'palate' });
  const puts = failing(full(), 1);
  const id = newId();
  await save('bottle', id, { name: 'a' });
  assert.equal(puts.mock.callCount(), 2);
  assert.equal((await db.bottle.get(id)).fields.name, 'a');
  assert.equal(await db.cache.count(), 0);
});

test('a full phone without a thing to drop says so', async () => {
  const puts = failing(full(), 1);
  const id = newId();
  await assert.rejects(
    save('bottle', id, { name: 'a' }),
    (error) => error instanceof StoreError && error.code === 'full',
  );
  assert.equal(puts.mock.callCount(), 1);
  assert.deepEqual([await db.bottle.count(), (await db.meta.get('clock')).last], [0, null]);
});

test('another error does not make room', async () => {
  await db.cache.put({ name: 'palate' });
  failing(new TypeError('broken'), 1);
  await assert.rejects(save('bottle', newId(), { name: 'a' }), TypeError);
  assert.equal(await db.cache.count(), 1);
});

/** @param {any} record @param {string} since @param {any} said */
async function late(record, since, said) {
  await db.bottle.put({ ...record, gone: 0 });
  mock.timers.setTime(NOW + 9);
  await commitEdits([{ kind: 'bottle', id: record.id, since, ...said }], splitStale);
  const { fields, deleted, clocks, deleted_clock } = await db.bottle.get(record.id);
  return { fields, deleted, clocks, deleted_clock };
}

test('a late edit writes what nobody said since', async () => {
  const found = await late(recordOf(newId(), { name: ['a', at(1)], region: ['r', at(3)] }), at(2), {
    fields: { name: 'b', region: 's', grapes: 'g' },
  });
  assert.deepEqual(found, {
    fields: { name: 'b', region: 'r', grapes: 'g' },
    clocks: { name: at(9), region: at(3), grapes: at(9) },
    deleted: false,
    deleted_clock: null,
  });
});

test('a late edit at the same clock is not overtaken', async () => {
  const found = await late(recordOf(newId(), { name: ['a', at(2)] }, { deleted: false, deleted_clock: at(2) }), at(2), {
    fields: { name: 'b' },
    deleted: true,
  });
  assert.deepEqual([found.fields, found.deleted, found.deleted_clock], [{ name: 'b' }, true, at(9)]);
});

test('a late edit does not bring back what was removed', async () => {
  const record = recordOf(newId(), { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(3) });
  const found = await late(record, at(2), { fields: { name: 'b' }, deleted: false });
  // Its value gets a clock before the deletion, which wins.
  assert.deepEqual(found, { fields: { name: 'b' }, clocks: { name: at(2) }, deleted: true, deleted_clock: at(3) });
});

test('a late removal does not undo a restoring', async () => {
  const record = recordOf(newId(), { name: ['a', at(1)] }, { deleted: false, deleted_clock: at(3) });
  const found = await late(record, at(2), { fields: { name: 'b' }, deleted: true });
  assert.deepEqual(found, { fields: { name: 'b' }, clocks: { name: at(9) }, deleted: false, deleted_clock: at(3) });
});

test('a late removal without fields removes', async () => {
  const found = await late(recordOf(newId(), { name: ['a', at(1)] }), at(2), { deleted: true });
  assert.deepEqual([found.deleted, found.deleted_clock], [true, at(9)]);
});

test('a late edit of a fresh book is written', async () => {
  const found = await late(recordOf(newId(), {}), '', { fields: { name: 'b' } });
  assert.deepEqual(found.fields, { name: 'b' });
});

test('a repeated write does not bring back an older value', async () => {
  const id = newId();
  const wasAborted = abortOnce();
  await Promise.all([save('bottle', id, { name: 'old' }), save('bottle', id, { name: 'new' })]);
  assert.ok(wasAborted());
  assert.equal((await db.bottle.get(id))?.fields['name'], 'new');
});

test('a write follows one that fails', async () => {
  const id = newId();
  const first = mock.method(db, 'transaction', () => Promise.reject(new RangeError('wrong')));
  const failed = save('bottle', id, { name: 'old' });
  first.mock.restore();
  await Promise.all([assert.rejects(failed), save('bottle', id, { name: 'new' })]);
  assert.equal((await db.bottle.get(id))?.fields['name'], 'new');
});

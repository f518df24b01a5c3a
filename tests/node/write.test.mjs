import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import {
  ValidationError,
  newId,
  remove,
  removeMany,
  restore,
  save,
  saveMany,
  commitEdits,
} from '../../static/store/write.js';
import { isRecentWrite } from '../../static/store/recent_writes.js';
import { storageState } from '../../static/store/persistence.js';
import { db } from '../../static/store/database.js';
import { NOW, at, emptyBook, recordOf, saidOf, setTiming, turns, unsentOf } from './support.mjs';

let asked = 0;
navigator.storage = {
  persist: async () => {
    asked += 1;
    return true;
  },
};

beforeEach(async () => {
  setTiming({ draft_ms: 0 });
  mock.timers.enable({ apis: ['Date'], now: NOW });
  await emptyBook();
});
afterEach(() => {
  mock.restoreAll();
  mock.timers.reset();
});

const lastClock = async () => (await db.meta.get('clock')).last;

test('a save writes record, outbox and clock', async () => {
  const id = newId();
  assert.equal(await save('bottle', id, { name: 'a', region: 'r' }), id);
  const record = recordOf(id, { name: ['a', at(0)], region: ['r', at(0)] });
  assert.deepEqual(await db.bottle.get(id), { ...record, gone: 0 });
  assert.deepEqual(await db.outbox.get(id), { ...unsentOf(id, {}), ...record });
  assert.deepEqual(await db.meta.get('clock'), {
    name: 'clock',
    book: 'b'.repeat(20),
    device: 'a'.repeat(20),
    last: at(0),
    offset_ms: 0,
  });
});

test('a save stamps the fields that change only', async () => {
  const id = newId();
  await save('bottle', id, { name: 'a', region: 'r' });
  mock.timers.setTime(NOW + 5);
  await save('bottle', id, { name: 'b', region: 'r', grapes: null, country: undefined });
  assert.deepEqual(await db.bottle.get(id), {
    ...recordOf(id, { name: ['b', at(5)], region: ['r', at(0)] }),
    gone: 0,
  });
  await save('bottle', id, { name: null });
  assert.deepEqual((await db.bottle.get(id)).fields, { name: null, region: 'r' });
  mock.timers.setTime(NOW + 6);
  await save('bottle', id, { region: undefined });
  assert.deepEqual(await db.bottle.get(id), {
    ...recordOf(id, { name: [null, at(5, undefined, 1)], region: [null, at(6)] }),
    gone: 0,
  });
});

test('a save that says nothing new writes nothing', async () => {
  const id = newId();
  await save('bottle', id, { name: 'a' });
  await db.outbox.clear();
  mock.timers.setTime(NOW + 5);
  await save('bottle', id, { name: 'a', region: null });
  assert.equal(await lastClock(), at(0));
  assert.equal(await db.outbox.count(), 0);
});

test('a record without a field is a record', async () => {
  const id = newId();
  await save('bottle', id, {});
  assert.deepEqual(await db.bottle.get(id), { ...recordOf(id, {}), gone: 0 });
  assert.equal(await lastClock(), at(0));
  assert.deepEqual(await db.outbox.get(id), unsentOf(id, {}));
});

test('a removed record is gone until it is restored', async () => {
  const id = newId();
  await save('bottle', id, { name: 'a' });
  mock.timers.setTime(NOW + 5);
  await remove('bottle', id);
  const gone = recordOf(id, { name: ['a', at(0)] }, { deleted: true, deleted_clock: at(5) });
  assert.deepEqual(await db.bottle.get(id), { ...gone, gone: 1 });
  assert.deepEqual(await db.outbox.get(id), { ...unsentOf(id, {}), ...gone });
  mock.timers.setTime(NOW + 6);
  await restore('bottle', id);
  assert.deepEqual(await db.bottle.get(id), { ...gone, deleted: false, deleted_clock: at(6), gone: 0 });
});

test('a record is not removed or restored twice', async () => {
  const id = newId();
  await save('bottle', id, { name: 'a' });
  mock.timers.setTime(NOW + 5);
  await restore('bottle', id);
  assert.equal(await lastClock(), at(0));
  await remove('bottle', id);
  mock.timers.setTime(NOW + 6);
  await remove('bottle', id);
  assert.equal(await lastClock(), at(5));
  assert.equal((await db.bottle.get(id)).deleted_clock, at(5));
});

test('a record that was edited since is removed again', async () => {
  const id = newId();
  await save('bottle', id, { name: 'a' });
  await remove('bottle', id);
  mock.timers.setTime(NOW + 5);
  await save('bottle', id, { name: 'b' });
  mock.timers.setTime(NOW + 6);
  await remove('bottle', id);
  assert.deepEqual(await db.bottle.get(id), {
    ...recordOf(id, { name: ['b', at(5)] }, { deleted: true, deleted_clock: at(6) }),
    gone: 1,
  });
});

test('an edit that does not pass writes none of them', async () => {
  const [one, other] = [newId(), newId()];
  await assert.rejects(
    saveMany([
      { kind: 'bottle', id: one, fields: { name: 'a' } },
      { kind: 'bottle', id: other, fields: { name: 7 } },
    ]),
    (error) => error instanceof ValidationError,
  );
  assert.deepEqual([await db.bottle.count(), await db.outbox.count(), await lastClock()], [0, 0, null]);
});

test('several edits share a transaction and a clock', async () => {
  const [one, other, third] = [newId(), newId(), newId()];
  await save('bottle', third, { name: 'c' });
  mock.timers.setTime(NOW + 5);
  await commitEdits([
    { kind: 'bottle', id: one, fields: { name: 'a' } },
    { kind: 'tasting', id: other, fields: { place: 'p' } },
    { kind: 'bottle', id: one, fields: { name: 'b', region: 'r' } },
    { kind: 'bottle', id: third, deleted: true },
  ]);
  assert.deepEqual(await db.bottle.get(one), {
    ...recordOf(one, { name: ['b', at(5)], region: ['r', at(5)] }),
    gone: 0,
  });
  assert.deepEqual((await db.tasting.get(other)).clocks, { place: at(5) });
  assert.deepEqual((await db.bottle.get(third)).deleted_clock, at(5));
  assert.deepEqual((await db.outbox.get(one)).clocks, { name: at(5), region: at(5) });
  assert.deepEqual(await db.outbox.count(), 3);
  await removeMany([
    { kind: 'bottle', id: one },
    { kind: 'tasting', id: other },
  ]);
  assert.deepEqual([(await db.bottle.get(one)).gone, (await db.tasting.get(other)).gone], [1, 1]);
});

test('a save tells which clock it gave out', async () => {
  setTiming({ draft_ms: 60_000 });
  const id = newId();
  await save('bottle', id, { name: 'a' });
  assert.equal(isRecentWrite(at(0)), true);
  await save('bottle', id, { name: 'b' });
  assert.equal((await db.outbox.get(id)).earlier, undefined);
});

test('a value that was not sent is kept among the earlier', async () => {
  const id = newId();
  for (const [ms, name] of [
    [0, 'a'],
    [1, 'b'],
    [2, 'c'],
  ]) {
    mock.timers.setTime(NOW + Number(ms));
    await save('bottle', id, { name, region: 'r' });
  }
  assert.deepEqual(await db.outbox.get(id), {
    ...unsentOf(id, { name: ['c', at(2)], region: ['r', at(0)] }),
    earlier: [saidOf({ name: ['a', at(0)] }), saidOf({ name: ['b', at(1)] })],
  });
});

test('a newer word is offered again whatever was refused', async () => {
  const id = newId();
  await save('bottle', id, { name: 'a' });
  await db.outbox.update(id, { held: 1, errors: { name: [{ code: 'too_long' }] }, not_before_ms: 7, tries: 2 });
  await save('bottle', id, { region: 'r' });
  const { held, errors, not_before_ms, tries, earlier } = await db.outbox.get(id);
  assert.deepEqual(
    { held, errors, not_before_ms, tries, earlier },
    { held: 0, errors: null, not_before_ms: 0, tries: 2, earlier: undefined },
  );
});

test('the first save asks the browser to keep the book', async () => {
  await save('bottle', newId(), { name: 'a' });
  await turns();
  assert.deepEqual([asked, storageState.value.persisted], [1, true]);
});

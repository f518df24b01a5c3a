// Journals of several closed pages, and of a phone without room (static/store/replay_journal.js).
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { replayJournal } from '../../static/store/replay_journal.js';
import { db } from '../../static/store/database.js';
import { journaled } from '../../static/store/write_journal.js';
import { newId, save } from '../../static/store/write.js';
import { control } from './environment.mjs';
import { emptyBook, setTiming, until } from './support.mjs';

beforeEach(async () => {
  setTiming({});
  await emptyBook();
});
afterEach(() => {
  control.full = false;
  mock.restoreAll();
});

/** @param {string} name @param {string} [id] */
const edit = (name, id = newId()) => ({ kind: /** @type {const} */ ('bottle'), id, fields: { name } });

/** @param {string} key @param {any[]} edits */
const leaveEdits = (key, edits) => localStorage.setItem(key, JSON.stringify(edits));

const withoutRoom = () =>
  mock.method(db.outbox, 'bulkPut', () =>
    Promise.reject(Object.assign(new Error('full'), { name: 'QuotaExceededError' })),
  );

test('the page that was opened last wins, in any order', async () => {
  for (const keys of [
    ['k1', 'k2', 'k3'],
    ['k3', 'k1', 'k2'],
    ['k2', 'k3', 'k1'],
  ]) {
    const id = newId();
    for (const key of keys) leaveEdits(key, [edit(key, id)]);
    await replayJournal(keys);
    assert.equal((await db.bottle.get(id)).fields.name, 'k3');
    const { earlier } = await db.outbox.get(id);
    assert.deepEqual(earlier?.map(({ fields }) => fields.name).sort(), ['k1', 'k2']);
  }
});

test('edits without room are shown in order until written', async () => {
  const room = withoutRoom();
  const [one, two, three] = [edit('a'), edit('b'), edit('c')];
  leaveEdits('k1', [one, two]);
  leaveEdits('k2', [three]);
  await replayJournal(['k2', 'k1']);
  assert.deepEqual(
    journaled.value.map(({ id }) => id),
    [one.id, two.id, three.id],
  );
  room.mock.restore();
  await save('bottle', newId(), { name: 'd' });
  await until(() => journaled.value.length === 0);
  assert.deepEqual(
    (await db.bottle.bulkGet([one.id, two.id, three.id])).map((row) => row?.fields['name']),
    ['a', 'b', 'c'],
  );
});

test('a value saved meanwhile wins over one without room', async () => {
  const room = withoutRoom();
  const one = edit('without room');
  leaveEdits('k1', [one]);
  control.full = true;
  await replayJournal(['k1']);
  assert.deepEqual(JSON.parse(String(localStorage.getItem('k1'))), [one], 'not even the age had room');
  control.full = false;
  room.mock.restore();
  await save('bottle', one.id, { name: 'later' });
  await until(() => localStorage.getItem('k1') === null);
  assert.equal((await db.bottle.get(one.id)).fields.name, 'later');
});

test('a journal is replayed even if the clock cannot be read', async () => {
  const one = edit('a');
  leaveEdits('k1', [one]);
  const read = mock.method(db.meta, 'get', async () => {
    read.mock.restore();
    throw new RangeError('wrong');
  });
  await replayJournal(['k1']);
  assert.equal((await db.bottle.get(one.id))?.fields.name, 'a');
});

// The leader changes the pace of a tasting that runs, counts its guests, and deletes one.
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import {
  addGuest,
  changeTable,
  createTable,
  deleteTable,
  moveGlass,
  readmitGuest,
  removeGuest,
  startTable,
  takeGlassesAway,
} from '../../static/domain/table/edits.js';
import { goOn, start } from '../../static/domain/table/flow.js';
import { saveScanned } from '../../static/domain/table/qr_scanned.js';
import { freeNumber, readTable } from '../../static/domain/table/table_records.js';
import { timestamp, today } from '../../static/lib/datetime.js';
import { journalKey } from '../../static/store/database_name.js';
import { ofGroupTasting } from '../../static/store/queries.js';
import { newId, saveMany } from '../../static/store/write.js';
import { emptyBook, leftBehind } from './support.mjs';

const NOW = '2026-11-28T20:00:00+01:00';

beforeEach(emptyBook);

test('no step is open at everybody’s own pace', async () => {
  const id = await createTable({ steps: ['look', 'verdict'] }, 2);
  await saveMany(start(await readTable(id), NOW));
  await saveMany(goOn(await readTable(id), NOW));
  const open = async () => {
    const { row } = await readTable(id);
    return [row?.fields['open_glass'], row?.fields['open_step']];
  };
  const [first] = (await readTable(id)).glasses;
  assert.deepEqual(await open(), [first?.id, 'verdict']);
  await changeTable(await readTable(id), { pace: 'free' });
  assert.deepEqual(await open(), [null, null]);
  await changeTable(await readTable(id), { pace: 'led' });
  assert.deepEqual(await open(), [first?.id, 'verdict']);
});

test('a start is kept by a page that is closed at once', async () => {
  const id = await createTable({ steps: ['look'] }, 1);
  const table = await readTable(id);
  const started = startTable(table, table.row?.fields ?? {});
  const [edit] = leftBehind();
  assert.deepEqual([edit.id, edit.fields.open_step, Boolean(edit.fields.started_at)], [id, 'look', true]);
  await started;
});

test('a start follows what was chosen just before', async () => {
  const id = await createTable({ steps: ['look'] }, 2);
  const table = await readTable(id);
  const [first, second] = table.glasses;
  const moved = moveGlass(table, first?.id ?? '', 1);
  await startTable(table, { ...table.row?.fields, pace: 'led' });
  await moved;
  assert.equal((await readTable(id)).row?.fields['open_glass'], second?.id);
});

test('the glasses that stay move up when one is taken away', async () => {
  const id = await createTable({ steps: ['look'] }, 3);
  const before = (await readTable(id)).glasses;
  const places = async () =>
    (await readTable(id)).glasses.map(({ id, fields }) => [id, fields['position'], fields['mark']]);
  const [first, , third] = before.map((one) => one.id);
  const bringBack = await takeGlassesAway(await readTable(id), [String(before[1]?.id)]);
  assert.deepEqual(await places(), [
    [first, 1, 'A'],
    [third, 2, 'B'],
  ]);
  await bringBack();
  assert.deepEqual(
    await places(),
    before.map(({ id, fields }) => [id, fields['position'], fields['mark']]),
  );
});

test('the number of a guest who was removed stays taken', async () => {
  const id = await createTable({ steps: ['look'] }, 1);
  const add = async () => addGuest(await readTable(id), 'passed', null);
  await add();
  const { id: second } = await add();
  await removeGuest(second);
  await add();
  const guest = '01900000-0000-7000-8000-000000000009';
  await saveScanned(id, { kind: 'sheets', version: 1, table: id, guest, sheets: {} });
  await readmitGuest(second);
  const numbers = (await readTable(id)).guests.map(({ fields }) => fields['number']);
  assert.deepEqual(numbers, [1, 2, 3, 4]);
});

test('a new guest has a name, a way to take part and a time', async () => {
  const id = await createTable({ steps: ['look'] }, 1);
  await saveMany([{ kind: 'guest', id: newId(), fields: { group_tasting: id, name: 'Carla' } }]);
  const before = timestamp();
  await addGuest(await readTable(id), 'passed', 'Bruno');
  for (const name of ['Dora', ''])
    await saveScanned(id, { kind: 'sheets', version: 1, table: id, guest: newId(), name, sheets: {} });
  const guests = (await readTable(id)).guests.map(({ fields }) => fields);
  assert.deepEqual(
    guests.map(({ number, name, entry }) => [number, name, entry]),
    [
      [1, 'Bruno', 'passed'],
      [2, 'Dora', 'qr'],
      [3, undefined, 'qr'],
      [undefined, 'Carla', undefined],
    ],
  );
  for (const guest of guests.slice(0, 3)) assert.ok(guest['joined_at'] >= before);
});

test('a table that was set earlier is of the day it starts', async () => {
  const id = await createTable({ steps: ['look'], on: '2026-11-20' }, 1);
  const day = async () => (await readTable(id)).row?.fields['on'];
  await startTable(await readTable(id), (await readTable(id)).row?.fields ?? {});
  assert.equal(await day(), today());
});

test('a leader whom two phones add is one guest', async () => {
  const id = await createTable({ steps: ['look'], on: '2026-11-20' }, 1);
  const shown = await readTable(id);
  await addGuest(shown, 'leader', 'Greta');
  // On the other phone the table has started, and so has another day.
  await startTable(shown, shown.row?.fields ?? {});
  await addGuest(await readTable(id), 'leader', 'Greta');
  assert.equal((await readTable(id)).guests.length, 1);
  const other = await readTable(await createTable({ steps: ['look'] }, 1));
  const { id: elsewhere } = await addGuest(other, 'leader', 'Greta');
  assert.notEqual((await readTable(id)).guests[0]?.id, elsewhere);
});

test('a deleted table goes at once, with those who left it', async () => {
  const id = await createTable({ steps: ['look'] }, 2);
  const { id: guest } = await addGuest(await readTable(id), 'passed', null);
  await removeGuest(guest);
  const table = await readTable(id);
  const deleted = deleteTable(table);
  dispatchEvent(new Event('pagehide'));
  const [key] = Object.keys(localStorage).filter((name) => name.startsWith(journalKey));
  assert.deepEqual(
    JSON.parse(localStorage[String(key)]).map((/** @type {any} */ edit) => [edit.id, edit.deleted]),
    [id, ...table.glasses.map((glass) => glass.id)].map((each) => [each, true]),
  );
  const undo = await deleted;
  assert.deepEqual(await ofGroupTasting('guest', id), []);
  await undo();
  assert.equal((await ofGroupTasting('guest', id)).length, 1);
  assert.equal((await ofGroupTasting('glass', id)).length, 2);
});

test('numbers of guests who are gone are given out at last', () => {
  const guests = Array.from({ length: 200 }, (_, at) => ({
    id: `g${at}`,
    kind: 'guest',
    fields: { number: at + 1, ...(at > 2 ? {} : { left_at: '2026-11-28T20:00:00Z' }) },
  }));
  const sheets = [{ id: 's', kind: 'sheet', fields: { guest: 'g0' } }];
  assert.equal(freeNumber(guests.slice(0, 199), sheets), 200);
  assert.equal(freeNumber(guests, sheets), 2);
});

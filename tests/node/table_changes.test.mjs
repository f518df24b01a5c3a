// The leader changes the pace of a tasting that runs.
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import { changeTable, createTable } from '../../static/domain/table/edits.js';
import { goOn, start } from '../../static/domain/table/flow.js';
import { readTable } from '../../static/domain/table/table_records.js';
import { saveMany } from '../../static/store/write.js';
import { emptyBook } from './support.mjs';

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

// Who has the phone that goes round, by table.
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import { keepPassing, passing, passingOf } from '../../static/features/table/pass/pass_state.js';
import { db } from '../../static/store/database.js';
import { emptyBook } from './support.mjs';

/** @param {string} table @param {...string} done */
const passed = (table, ...done) => ({ table, now: null, done });

beforeEach(async () => {
  await emptyBook();
  await passing.restore();
});

test('what was passed on at a table stays after another one', async () => {
  await keepPassing(passed('one', 'ada/a'));
  await keepPassing(passed('two', 'ben/b'));
  await keepPassing(passed('one', 'ada/a', 'ada/b'));
  await passing.restore();
  assert.deepEqual(passingOf('one').done, ['ada/a', 'ada/b']);
  assert.deepEqual(passingOf('two').done, ['ben/b']);
  assert.deepEqual(passingOf('three'), passed('three'));
});

test('the tables that were used last are remembered', async () => {
  for (let at = 0; at < 20; at += 1) await keepPassing(passed(`t${at}`, 'ada/a'));
  assert.deepEqual(passingOf('t19').done, ['ada/a']);
  assert.deepEqual(passingOf('t0').done, []);
});

test('what an earlier release wrote is read', async () => {
  await db.meta.put({ name: 'table_pass', kept: passed('one', 'ada/a') });
  await passing.restore();
  assert.deepEqual(passingOf('one').done, ['ada/a']);
  await db.meta.put({ name: 'table_pass', kept: [{ table: 1 }] });
  await passing.restore();
  assert.deepEqual(passingOf('one').done, []);
});

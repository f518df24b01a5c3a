// What a start reads before the first screen (static/store/open.js).
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { openStore, storeState } from '../../static/store/open.js';
import { openPour } from '../../static/store/open_pour.js';
import { db } from '../../static/store/database.js';
import { databaseName, journalKey } from '../../static/store/database_name.js';
import { settingsId } from '../../static/store/record.js';
import { newId, save } from '../../static/store/write.js';
import { emptyBook } from './support.mjs';

beforeEach(() => emptyBook());
afterEach(() => mock.restoreAll());

test('a start gives the settings, and none without some', async () => {
  assert.deepEqual(await openStore(), { settings: {} });
  assert.equal(storeState.value, 'ready');
  await save('settings', settingsId, { language: 'it' });
  assert.deepEqual(await openStore(), { settings: { language: 'it' } });
});

test('a start writes what a closed page left', async () => {
  const id = newId();
  localStorage.setItem(`${journalKey}a`, JSON.stringify([{ kind: 'bottle', id, fields: { name: 'a' } }]));
  await openStore();
  assert.equal((await db.bottle.get(id)).fields.name, 'a');
});

test('a start restores the open pour and marks the database', async () => {
  await db.meta.put({ name: 'open_pour', open: { tasting: 't', step: 'look' } });
  localStorage.removeItem(`${databaseName}.book`);
  await openStore();
  assert.deepEqual(openPour.value, { tasting: 't', step: 'look' });
  assert.equal(JSON.parse(String(localStorage.getItem(`${databaseName}.book`))).book, 'b'.repeat(20));
});

test('a phone without storage starts with no settings', async () => {
  mock.method(db, 'open', () => Promise.reject(Object.assign(new Error(), { name: 'MissingAPIError' })));
  assert.deepEqual(await openStore(), { settings: {} });
  assert.equal(storeState.value, 'no_storage');
});

test('another error of a start is not hidden', async () => {
  mock.method(db, 'open', () => Promise.reject(new RangeError('wrong')));
  await assert.rejects(openStore(), RangeError);
});

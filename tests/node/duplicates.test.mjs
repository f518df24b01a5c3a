// Merging duplicates while another phone writes on one of them, and undoing it.
import assert from 'node:assert/strict';
import test from 'node:test';
import { currentPour, setFields, values } from '../../static/domain/pour/current_pour.js';
import { closePour, loadPour } from '../../static/domain/pour/load_pour.js';
import { findDuplicates, groupOf, mergeBottles } from '../../static/features/book/duplicates/duplicates.js';
import { whenIdle } from '../../static/domain/pour/autosave_queue.js';
import { db } from '../../static/store/database.js';
import { journalKey } from '../../static/store/database_name.js';
import { allOf, bottlesByIds } from '../../static/store/queries.js';
import { replayJournal } from '../../static/store/replay_journal.js';
import { newId, save } from '../../static/store/write.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { OTHER, answerOf, at, emptyBook, recordOf, requestOf, until, useEmptyBook } from './support.mjs';

useEmptyBook();
Object.assign(globalThis, { HTMLInputElement: class {}, HTMLTextAreaElement: class {} });

/** @returns {Promise<[string, string]>} ids of two bottles; only the second has its alcohol */
async function duplicates() {
  await emptyBook({}, { epoch: 'e1' });
  const [kept, twin] = [newId(), newId()].sort();
  const bottle = { kind: 'bottle', deleted: false, deleted_clock: null, gone: 0 };
  await db.bottle.bulkPut(
    /** @type {any} */ ([
      { ...bottle, ...recordOf(kept, { name: ['a', at(-9_000)] }) },
      { ...bottle, ...recordOf(twin, { name: ['a', at(-8_000)], label_abv: [13, at(-8_000)] }) },
    ]),
  );
  return [kept, twin];
}

/** @param {...string} ids */
async function group(...ids) {
  return groupOf([...(await bottlesByIds(ids)).values()], await allOf('bottle'));
}

/** @param {...string} ids */
async function merge(...ids) {
  return mergeBottles(await group(...ids));
}

/** Close the page, and start it again with nothing but what was committed before. @param {() => unknown} tap */
async function closeAt(tap) {
  const tables = ['bottle', 'tasting', 'outbox', 'meta'];
  const before = await Promise.all(tables.map((name) => db.table(name).toArray()));
  const done = tap();
  dispatchEvent(new Event('pagehide'));
  const [key, text] = /** @type {[string, string]} */ (
    Object.entries(localStorage).find(([name]) => name.startsWith(journalKey))
  );
  await done;
  for (const [at, name] of tables.entries()) {
    await db.table(name).clear();
    await db.table(name).bulkPut(before[at] ?? []);
  }
  localStorage.setItem(key, text);
  await replayJournal([key]);
}

/** @param {any} change @param {any[]} [sent] */
async function receive(change, sent = []) {
  const last = (await db.meta.get('clock'))?.last ?? null;
  const { cursor = 0 } = /** @type {any} */ (await db.meta.get('server'));
  const request = requestOf({ epoch: 'e1', cursor, sent, last });
  await applyResponse(answerOf({ cursor: cursor + 1, changes: [change] }), request);
}

/** @param {string} id @returns {Promise<any>} */
const fieldsOf = async (id) => (await db.bottle.get(id))?.fields;

test('glasses of a table follow a bottle that is merged', async () => {
  const [kept, twin] = await duplicates();
  for (const bottle of [kept, twin]) await save('glass', newId(), { group_tasting: newId(), bottle });
  const undo = await merge(kept, twin);
  const bottles = async () => (await allOf('glass')).map(({ fields }) => fields['bottle']).sort();
  assert.deepEqual(await bottles(), [kept, kept]);
  await undo();
  assert.deepEqual(await bottles(), [kept, twin]);
});

test('a late edit of a merged bottle reaches the survivor', async () => {
  const [kept, twin] = await duplicates();
  await merge(kept, twin);
  assert.equal((await fieldsOf(kept)).label_abv, 13);
  const before = /** @type {any} */ (await db.bottle.get(twin));
  // Another phone wrote it before the merge, of which it had not heard.
  const clock = at(-5_000, OTHER);
  const fields = { ...before.fields, label_abv: 14.5, producer: 'Quinta' };
  await receive({ ...before, fields, clocks: { ...before.clocks, label_abv: clock, producer: clock } });
  const { fields: shown, clocks } = /** @type {any} */ (await db.bottle.get(kept));
  assert.deepEqual([shown.label_abv, shown.producer, clocks.producer], [14.5, 'Quinta', clock]);
  const unsent = await db.outbox.get(kept);
  assert.deepEqual([unsent?.fields['label_abv'], unsent?.clocks['label_abv']], [14.5, clock]);
});

test('a later value of the survivor stays', async () => {
  const [kept, twin] = await duplicates();
  await merge(kept, twin);
  await save('bottle', kept, { label_abv: 12 });
  const before = /** @type {any} */ (await db.bottle.get(twin));
  const clocks = { ...before.clocks, label_abv: at(-5_000, OTHER) };
  await receive({ ...before, fields: { ...before.fields, label_abv: 14.5 }, clocks });
  assert.equal((await fieldsOf(kept)).label_abv, 12);
});

test('what a phone wrote before it hears of a merge is passed on', async () => {
  const [kept, twin] = await duplicates();
  await save('bottle', twin, { producer: 'Quinta' });
  const edited = /** @type {any} */ (await db.bottle.get(twin));
  const merged = { fields: { ...edited.fields, merged_into: kept }, clocks: { ...edited.clocks, merged_into: at(9) } };
  const { producer } = edited.clocks;
  const sent = [{ ...edited, fields: { producer: 'Quinta' }, clocks: { producer } }];
  await receive({ ...edited, ...merged }, sent);
  assert.equal((await fieldsOf(kept)).producer, 'Quinta');
});

test('an undone merge keeps what was corrected since', async () => {
  const [kept, twin] = await duplicates();
  const note = await save('tasting', newId(), { bottle: twin });
  await db.bottle.update(twin, { 'fields.words': 'From Mara', 'clocks.words': at(-8_000) });
  const undo = await merge(kept, twin);
  const before = /** @type {any} */ (await db.bottle.get(kept));
  const clocks = { ...before.clocks, label_abv: at(5_000, OTHER) };
  await receive({ ...before, fields: { ...before.fields, label_abv: 14.5 }, clocks });
  await undo();
  assert.deepEqual([(await fieldsOf(kept)).label_abv, (await fieldsOf(kept)).words], [14.5, null]);
  assert.deepEqual([(await fieldsOf(twin)).label_abv, (await fieldsOf(twin)).merged_into], [13, null]);
  assert.equal((await db.tasting.get(note))?.fields['bottle'], twin);
  await merge(kept, twin);
  assert.equal((await fieldsOf(kept)).words, 'From Mara');
});

test('an open pour goes on with the survivor of a merge', async () => {
  const [kept, twin] = await duplicates();
  const note = await save('tasting', newId(), { bottle: twin });
  await loadPour(note);
  assert.equal(currentPour.peek()?.bottle, twin);
  await merge(kept, twin);
  await until(() => currentPour.peek()?.bottle === kept);
  assert.equal(values.bottle.peek()['label_abv'], 13);
  setFields('bottle', { producer: 'Quinta' });
  await whenIdle();
  assert.deepEqual([(await fieldsOf(kept)).producer, (await fieldsOf(twin)).producer], ['Quinta', undefined]);
  await closePour();
});

test('a merge outlives a page that is closed at once', async () => {
  const [kept, twin] = await duplicates();
  const note = await save('tasting', newId(), { bottle: twin });
  const known = await group(kept, twin);
  await closeAt(() => mergeBottles(known));
  assert.deepEqual([(await fieldsOf(kept)).label_abv, (await fieldsOf(twin)).merged_into], [13, kept]);
  assert.equal((await db.tasting.get(note))?.fields['bottle'], kept);
});

test('an undone merge outlives a page that is closed at once', async () => {
  const [kept, twin] = await duplicates();
  const note = await save('tasting', newId(), { bottle: twin });
  const undo = await merge(kept, twin);
  await closeAt(undo);
  assert.deepEqual([(await fieldsOf(kept)).label_abv, (await fieldsOf(twin)).merged_into], [null, null]);
  assert.equal((await db.tasting.get(note))?.fields['bottle'], twin);
});

test('a rosé is no duplicate of a red with nearly its name', () => {
  const found = (/** @type {Record<string, unknown>} */ one, /** @type {Record<string, unknown>} */ other) => {
    const rows = [
      { id: '1', fields: { name: 'Pale Ledge Rosso', ...one } },
      { id: '2', fields: { name: 'Pale Ledge Rosato', ...other } },
    ];
    return findDuplicates(/** @type {any[]} */ (rows)).length;
  };
  assert.equal(found({}, { colour: 'rose' }), 1);
  assert.equal(found({ colour: 'red' }, { colour: 'rose' }), 0);
  assert.equal(found({ style: 'red_barolo' }, { style: 'ros_provence' }), 0);
});

// The example notebook (static/store/example.js), and whose ratings there are (static/store/tasters.js).
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import Dexie from '../../static/vendor/dexie.js';
import { effect } from '../../static/vendor/signals-core.js';
import { ExampleError, countExample, loadExample, removeExample } from '../../static/store/example.js';
import { hasExample, readTaster } from '../../static/store/tasters.js';
import { changeCount } from '../../static/store/changes.js';
import { bindOwner } from '../../static/store/owner.js';
import { db } from '../../static/store/database.js';
import { kinds, settingsId } from '../../static/store/record.js';
import { RecordIndex } from '../../static/store/record_index.js';
import { newId, remove, save } from '../../static/store/write.js';
import { emptyBook, freshServer, json, serve, until } from './support.mjs';

beforeEach(() => emptyBook());
afterEach(() => mock.restoreAll());

const VISIT = newId();
const BOTTLE = newId();
const TASTING = newId();
const RECORDS = [
  { kind: 'visit', id: VISIT, fields: { on: '2026-03-01' } },
  { kind: 'bottle', id: BOTTLE, fields: { name: 'a' } },
  { kind: 'tasting', id: TASTING, fields: { bottle: BOTTLE, visit: VISIT, liking: 7 } },
];
const SETTINGS = { kind: 'settings', id: settingsId, fields: { language: 'it' } };

/** @param {any[]} [records] */
const serveExample = (records = RECORDS) => serve(() => json({ records }));

/** @returns {Promise<any[]>} all records that are not deleted */
async function present() {
  const rows = await Promise.all(kinds.map((kind) => db[kind].toArray()));
  return rows.flat().filter(({ gone }) => !gone);
}

test('the example is marked and counted', async () => {
  const timeouts = mock.method(AbortSignal, 'timeout').mock;
  const asked = serveExample([...RECORDS, SETTINGS]);
  assert.equal(await loadExample('en'), 4);
  assert.equal(asked[0]?.url, '/api/example?language=en');
  assert.deepEqual(timeouts.calls[0]?.arguments, [30_000]);
  assert.deepEqual((await db.bottle.get(BOTTLE)).fields, { name: 'a', example: true });
  assert.equal((await db.settings.get(settingsId)).fields.language, 'it');
  assert.equal(await countExample(), 4);
});

test('the own settings are kept', async () => {
  await save('settings', settingsId, { language: 'fr' });
  serveExample([...RECORDS, SETTINGS]);
  assert.equal(await loadExample('en'), 3);
  assert.deepEqual((await db.settings.get(settingsId)).fields, { language: 'fr' });
});

test('deleted settings are replaced', async () => {
  await save('settings', settingsId, { language: 'fr' });
  await remove('settings', settingsId);
  serveExample([SETTINGS]);
  assert.equal(await loadExample('en'), 1);
  const { gone, fields } = await db.settings.get(settingsId);
  assert.deepEqual([gone, fields.language], [0, 'it']);
});

test('an example that was deleted comes back', async () => {
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
  serveExample();
  await loadExample('en');
  const { removed } = await removeExample();
  assert.equal(removed, 3);
  assert.equal((await present()).length, 0);
  assert.equal(await loadExample('en'), 3);
  assert.equal((await present()).length, 3);
});

test('an example that comes back in another language is no edit', async () => {
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
  const inLanguage = (/** @type {string} */ place) => [
    ...RECORDS.slice(0, 2),
    { ...RECORDS[2], fields: { ...RECORDS[2]?.fields, place } },
    SETTINGS,
  ];
  for (const [language, place] of /** @type {const} */ ([
    ['en', 'home'],
    ['fr', 'chez moi'],
    ['fr', 'chez moi'],
  ])) {
    const asked = serveExample(inLanguage(place));
    assert.equal(await loadExample(language), 4);
    assert.equal(asked[0]?.url, `/api/example?language=${language}`);
    assert.equal((await db.tasting.get(TASTING)).fields.place, place);
    assert.equal((await removeExample()).removed, 4);
    assert.equal((await present()).length, 0);
  }
});

test('an edited sample is not written over', async () => {
  serveExample();
  await loadExample('en');
  await save('tasting', TASTING, { liking: 2 });
  assert.equal(await loadExample('fr'), 2);
  assert.equal((await db.tasting.get(TASTING)).fields.liking, 2);
});

test('own deleted records stay deleted beside the example', async () => {
  const own = newId();
  await save('bottle', own, { name: 'mine' });
  await remove('bottle', own);
  serveExample();
  await loadExample('en');
  assert.equal((await db.bottle.get(own)).gone, 1);
});

test('an example that cannot be had is told apart', async () => {
  for (const [reply, code] of /** @type {[() => any, string][]} */ ([
    [() => Promise.reject(new TypeError('Failed to fetch')), 'no_network'],
    [() => new Response('<p>', { headers: { 'Content-Type': 'text/html' } }), 'no_network'],
    [() => new Response(null), 'no_network'],
    [() => json({ records: RECORDS }, 404), 'no_example'],
    [() => json({}), 'no_example'],
    [() => json(null), 'no_network'],
    [() => json({ code: 'busy' }, 503), 'no_network'],
    [() => json({ code: 'too_many' }, 429), 'no_network'],
    [() => new Response('{', { headers: { 'Content-Type': 'application/json' } }), 'no_network'],
  ])) {
    serve(reply);
    await assert.rejects(
      loadExample('en'),
      (error) => error instanceof ExampleError && error.code === code && error.name === 'ExampleError',
    );
  }
  assert.equal((await present()).length, 0);
});

test('what no server has leaves no trace, and can come back', async () => {
  const own = newId();
  await save('bottle', own, { name: 'mine' });
  serveExample();
  await loadExample('en');
  const { removed, undo } = await removeExample();
  assert.equal(removed, 3);
  assert.deepEqual([await db.bottle.count(), await db.tasting.count(), await db.visit.count()], [1, 0, 0]);
  assert.deepEqual(
    (await db.outbox.toArray()).map(({ id }) => id),
    [own],
  );
  await undo();
  assert.equal(await countExample(), 3);
  assert.deepEqual((await db.tasting.get(TASTING)).fields, { ...RECORDS[2]?.fields, example: true });
});

test('what a server may have is deleted by a mark', async () => {
  for (const bind of [() => bindOwner({ uid: 'a'.repeat(20), name: '' }), () => db.meta.put(freshServer())]) {
    await emptyBook();
    await bind();
    serveExample();
    await loadExample('en');
    const { removed, undo } = await removeExample();
    assert.deepEqual([removed, await db.bottle.count(), (await db.bottle.get(BOTTLE)).gone], [3, 1, 1]);
    await undo();
    assert.equal((await db.bottle.get(BOTTLE)).gone, 0);
  }
});

test('what own records refer to stays', async () => {
  for (const [kind, fields] of /** @type {[any, any][]} */ ([
    ['tasting', { bottle: BOTTLE }],
    ['tasting', { visit: BOTTLE }],
    ['photo', { tasting: BOTTLE }],
    ['bottle', { merged_into: BOTTLE }],
    ['glass', { group_tasting: BOTTLE }],
    ['sheet', { glass: BOTTLE }],
    ['sheet', { guest: BOTTLE }],
    ['guest', { person: BOTTLE }],
  ])) {
    await emptyBook();
    serveExample();
    await loadExample('en');
    await save(kind, newId(), fields);
    assert.equal((await removeExample()).removed, 2, JSON.stringify(Object.keys(fields)));
    assert.equal((await db.bottle.get(BOTTLE)).gone, 0);
  }
});

test('a deleted own record refers to nothing', async () => {
  serveExample();
  await loadExample('en');
  const own = newId();
  await save('tasting', own, { bottle: BOTTLE });
  await remove('tasting', own);
  assert.equal((await removeExample()).removed, 3);
});

test('settings of the example that were edited are own ones', async () => {
  serveExample([...RECORDS, SETTINGS]);
  await loadExample('en');
  assert.equal(await countExample(), 4);
  await save('settings', settingsId, { language: 'fr' });
  assert.equal(await countExample(), 3);
  await save('visit', VISIT, { place: 'p' });
  assert.equal(await countExample(), 3, 'an edited visit is still of the example');
});

test('a sample note that was edited becomes an own one', async () => {
  for (const [edit, loaded] of /** @type {[() => Promise<unknown>, number][]} */ ([
    [() => save('tasting', TASTING, { words: 'mine' }), 2],
    [() => save('bottle', BOTTLE, { region: 'mine' }), 1],
  ])) {
    await emptyBook();
    await bindOwner({ uid: 'a'.repeat(20), name: '' });
    serveExample();
    await loadExample('en');
    await edit();
    const before = (await db.tasting.get(TASTING)).fields;
    const { removed, undo } = await removeExample();
    assert.equal(removed, 0, 'it keeps its bottle and its visit');
    assert.deepEqual((await db.tasting.get(TASTING)).fields, { ...before, example: false });
    assert.equal(await loadExample('en'), loaded, 'what was edited is not written over');
    assert.deepEqual((await db.tasting.get(TASTING)).fields, { ...before, example: false });
    await undo();
    assert.equal((await db.tasting.get(TASTING)).fields.example, false);
  }
});

test('an edited sample note stays when removed again after an undo', async () => {
  const other = { kind: 'tasting', id: newId(), fields: { bottle: BOTTLE, visit: VISIT } };
  for (const bind of [async () => {}, () => bindOwner({ uid: 'a'.repeat(20), name: '' })]) {
    await emptyBook();
    await bind();
    serveExample([...RECORDS, other]);
    await loadExample('en');
    await save('tasting', TASTING, { words: 'mine' });
    const { removed, undo } = await removeExample();
    assert.equal(removed, 1);
    await undo();
    assert.equal((await db.tasting.get(other.id)).gone, 0);
    assert.equal((await removeExample()).removed, 1);
    const { gone, fields } = await db.tasting.get(TASTING);
    assert.deepEqual([gone, fields.words], [0, 'mine']);
  }
});

test('the notebook teaches by own ratings, else by the example', async () => {
  assert.equal(await readTaster(), null, 'before the first sync');
  await db.meta.put(freshServer());
  assert.equal(await readTaster(), null);
  await db.meta.put({ ...freshServer(), last_synced: '2026-03-01T00:00:00+00:00' });
  assert.equal(await readTaster(), 'none');
  await save('tasting', newId(), { note: 'not rated' });
  await save('tasting', newId(), { liking: 3, faults: ['corked'] });
  const deleted = newId();
  await save('tasting', deleted, { liking: 3 });
  await remove('tasting', deleted);
  assert.equal(await readTaster(), 'none');
  await save('tasting', newId(), { liking: 3, example: true });
  assert.equal(await readTaster(), 'example');
  await save('tasting', newId(), { liking: 1, faults: [] });
  assert.equal(await readTaster(), 'own');
});

test('a fault that counts for the rating teaches', async () => {
  await db.meta.put({ ...freshServer(), last_synced: '2026-03-01T00:00:00+00:00' });
  await save('tasting', newId(), { liking: 3, faults: ['corked'], fault_counts: true });
  assert.equal(await readTaster(), 'own');
});

test('the example is shown while it has visits', async () => {
  assert.equal(hasExample.value, false);
  await save('visit', newId(), { on: '2026-03-02' });
  /** @type {boolean[]} */
  const seen = [];
  let stop = effect(() => {
    seen.push(hasExample.value);
  });
  serveExample();
  await loadExample('en');
  await until(() => seen.at(-1) === true);
  await removeExample();
  await until(() => seen.at(-1) === false);
  stop();
  const reads = mock.method(RecordIndex.prototype, 'refreshed').mock;
  const before = changeCount.value;
  await loadExample('en');
  await until(() => changeCount.value > before);
  assert.equal(reads.callCount(), 0, 'nobody looks');
  stop = effect(() => {
    seen.push(hasExample.value);
  });
  await until(() => seen.at(-1) === true);
  const reported = mock.method(console, 'error', () => {}).mock;
  const { bulkGet } = db.visit;
  // The save reads within its transaction.
  mock.method(db.visit, 'bulkGet', (/** @type {string[]} */ ids) =>
    Dexie.currentTransaction ? bulkGet.call(db.visit, ids) : Promise.reject(new RangeError('wrong')),
  );
  await save('visit', VISIT, { on: '2026-03-03' });
  await until(() => reported.callCount() > 0);
  stop();
});

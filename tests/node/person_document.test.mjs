// A person who is carried to another notebook by QR codes.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { areLabelsHidden } from '../../static/domain/table/covered.js';
import { framesOf, collectFrames, documentOf } from '../../static/lib/qr_frames.js';
import {
  countCarried,
  MAX_CARRIED,
  personDocument,
  readPersonDocument,
} from '../../static/domain/table/person_document.js';
import { leaveOut, readPerson } from '../../static/domain/table/person_records.js';
import { saveScannedPerson } from '../../static/domain/table/person_scanned.js';
import { forgetPerson, goneWithPerson, personNamed } from '../../static/domain/table/people.js';
import { sheetId } from '../../static/domain/table/sheet_id.js';
import { allOf, record } from '../../static/store/queries.js';
import { save, saveMany } from '../../static/store/write.js';
import { db } from '../../static/store/database.js';
import { NOW, emptyBook, someId } from './support.mjs';

const KINDS = /** @type {const} */ (['person', 'group_tasting', 'guest', 'glass', 'bottle', 'sheet']);
const AGREED = '2026-11-28T21:00:00+01:00';

beforeEach(async () => {
  mock.timers.enable({ apis: ['Date'], now: NOW });
  await emptyBook();
});
afterEach(() => mock.timers.reset());

/** Fill the notebook with a table of two guests, one of whom is a person. @param {number} [glasses] */
async function fill(glasses = 2) {
  const [person, table, guest, other] = [someId(), someId(), someId(), someId()];
  const poured = Array.from({ length: glasses }, () => ({ glass: someId(), bottle: someId() }));
  const answers = { liking: 7, acidity: 6.5, just_right_acidity: 1, words: 'my own words', guess_abv: 13 };
  await saveMany([
    { kind: 'person', id: person, fields: { name: 'Ada', agreed_at: AGREED } },
    { kind: 'group_tasting', id: table, fields: { name: 'Monday', on: '2026-11-28', words: 'leader only' } },
    { kind: 'guest', id: guest, fields: { group_tasting: table, name: 'Ada', number: 2, person } },
    { kind: 'guest', id: other, fields: { group_tasting: table, name: 'Bob', number: 3 } },
    ...poured.flatMap(({ glass, bottle }, at) => [
      { kind: /** @type {const} */ ('bottle'), id: bottle, fields: { name: `Wine ${at}`, words: 'private' } },
      {
        kind: /** @type {const} */ ('glass'),
        id: glass,
        fields: { group_tasting: table, bottle, position: at + 1, mark: String(at) },
      },
      ...[guest, other].map((of) => ({
        kind: /** @type {const} */ ('sheet'),
        id: sheetId(of, glass),
        fields: { group_tasting: table, glass, guest: of, ...answers, liking: of === guest ? 7 : 2 },
      })),
    ]),
  ]);
  return { person, table, guest, other, poured };
}

/** @param {any} document @returns {Promise<any>} as the other phone's camera reads it */
async function carried(document) {
  const collected = collectFrames();
  for (const text of await framesOf(document)) {
    const found = collected.add(text);
    if (found?.bytes) return documentOf(found.bytes);
  }
  throw new Error('incomplete');
}

async function notebook() {
  const rows = await Promise.all(KINDS.map((kind) => db[kind].toArray()));
  return rows.flat().map(({ kind, id, fields, clocks, gone }) => ({ kind, id, fields, clocks, gone }));
}

test('a person is carried with the ratings, and nothing of others', async () => {
  const { person, guest, poured } = await fill();
  const document = personDocument(await readPerson(person));
  assert.equal(countCarried(document), 2);
  const text = JSON.stringify(document);
  for (const kept of ['my own words', 'leader only', 'private', 'Bob', 'guess_abv'])
    assert.ok(!text.includes(kept), kept);
  const scanned = readPersonDocument(await carried(document));
  assert.deepEqual([scanned?.name, scanned?.agreed_at, scanned?.count], ['Ada', AGREED, 2]);
  await emptyBook();
  assert.equal(await saveScannedPerson(/** @type {any} */ (scanned)), 2);
  const there = await readPerson(person);
  assert.deepEqual([there.person?.fields['name'], there.person?.fields['agreed_at']], ['Ada', AGREED]);
  assert.equal(there.tables.length, 1);
  const sheet = await record('sheet', sheetId(guest, poured[0]?.glass ?? ''));
  assert.deepEqual([sheet?.fields['liking'], sheet?.fields['acidity']], [7, 6.5]);
  // So the server deletes the answers of somebody who is forgotten.
  const head = there.tables[0]?.table.fields ?? {};
  assert.deepEqual([head['keep_guests'], head['ended_at']], [undefined, AGREED]);
  assert.equal(areLabelsHidden(head), false);
  assert.equal((await allOf('guest')).length, 1);
});

test('a person who is scanned twice is there once', async () => {
  const { person } = await fill();
  const scanned = /** @type {any} */ (readPersonDocument(personDocument(await readPerson(person))));
  await emptyBook();
  await saveScannedPerson(scanned);
  // What was corrected here stays.
  await save('person', person, { name: 'Ada L.' });
  const before = await notebook();
  assert.equal(await saveScannedPerson(scanned), 0);
  assert.deepEqual(await notebook(), before);
});

test('the first notebook is not changed by its own codes', async () => {
  const { person } = await fill();
  const scanned = /** @type {any} */ (readPersonDocument(personDocument(await readPerson(person))));
  const before = await notebook();
  assert.equal(await saveScannedPerson(scanned), 0);
  assert.deepEqual(await notebook(), before);
});

test('a forgotten person comes back when scanned again', async () => {
  const { person } = await fill();
  const scanned = /** @type {any} */ (readPersonDocument(personDocument(await readPerson(person))));
  await forgetPerson(await goneWithPerson(person));
  await saveScannedPerson(scanned);
  assert.equal((await record('person', person))?.gone, 0);
});

test('a table that came with a person is forgotten too', async () => {
  const { person } = await fill();
  const document = personDocument(await readPerson(person));
  await emptyBook();
  await saveScannedPerson(/** @type {any} */ (readPersonDocument(document)));
  const kinds = /** @type {const} */ (['person', 'group_tasting', 'guest', 'glass', 'sheet', 'bottle']);
  const counts = async () => (await Promise.all(kinds.map(allOf))).map((rows) => rows.length);
  assert.deepEqual(await counts(), [1, 1, 1, 2, 2, 2]);
  const undo = await forgetPerson(await goneWithPerson(person));
  assert.deepEqual(await counts(), [0, 0, 0, 0, 0, 0]);
  await undo();
  assert.deepEqual(await counts(), [1, 1, 1, 2, 2, 2]);
  // A bottle that was tasted here, or is the other name of one, stays.
  const [kept, other] = await allOf('bottle');
  await save('tasting', someId(), { bottle: kept?.id, liking: 7 });
  await save('bottle', someId(), { name: 'Merged', merged_into: other?.id });
  await forgetPerson(await goneWithPerson(person));
  assert.deepEqual(await counts(), [0, 0, 0, 0, 0, 3]);
});

test('a table that was held here stays when a person is forgotten', async () => {
  const { person, table } = await fill();
  await saveMany([{ kind: 'group_tasting', id: table, fields: { order: 'listed', pace: 'led', ended_at: AGREED } }]);
  await forgetPerson(await goneWithPerson(person));
  assert.equal((await allOf('group_tasting')).length, 1);
  assert.equal((await allOf('sheet')).length, 4);
});

test('a person is known by a former name', async () => {
  const { person } = await fill();
  await saveMany([{ kind: 'person', id: person, fields: { name: 'Ada L.' } }]);
  assert.equal((await personNamed('ada'))?.id, person);
  assert.equal((await personNamed('Ada L.'))?.id, person);
  assert.equal(await personNamed('Bob'), undefined);
  // The name is now somebody else's.
  const other = someId();
  await saveMany([{ kind: 'person', id: other, fields: { name: 'Ada', agreed_at: AGREED } }]);
  assert.equal((await personNamed('Ada'))?.id, other);
});

test('codes that were made up write no answers of others', async () => {
  const { person, guest, other, poured, table } = await fill();
  const document = personDocument(await readPerson(person));
  const stranger = someId();
  // Another person claims the guest Bob, and a glass of this table for a table of their own.
  const claimed = [
    { ...document, id: stranger, tables: [{ ...document['tables'][0], guest }] },
    { ...document, id: stranger, tables: [{ ...document['tables'][0], id: someId(), guest: someId() }] },
    { ...document, id: stranger, tables: [{ ...document['tables'][0], id: someId(), guest: other }] },
  ];
  const before = await notebook();
  for (const one of claimed) await saveScannedPerson(/** @type {any} */ (readPersonDocument(one)));
  const after = new Map((await notebook()).map((row) => [row.id, row]));
  for (const row of before) assert.deepEqual(after.get(row.id), row);
  const sheets = (await allOf('sheet')).filter(({ fields }) => fields['group_tasting'] === table);
  assert.equal(sheets.length, 2 * poured.length);
});

test('what is no person who agreed is refused', async () => {
  const { person } = await fill();
  const document = personDocument(await readPerson(person));
  for (const wrong of [
    null,
    [],
    { ...document, kind: 'flight' },
    { ...document, version: 2 },
    { ...document, id: 'x' },
    { ...document, agreed_at: null },
    { ...document, agreed_at: 'soon' },
    { ...document, name: '' },
  ])
    assert.equal(readPersonDocument(wrong), null);
  const odd = {
    ...document,
    bottles: [],
    tables: [null, 7, { id: 'x' }, { ...document['tables'][0], glasses: [[1]] }],
  };
  assert.equal(readPersonDocument(odd)?.count, 0);
});

test('only as many answers are carried as codes can hold', async () => {
  const { person } = await fill(MAX_CARRIED + 3);
  const document = personDocument(await readPerson(person));
  assert.equal(countCarried(document), MAX_CARRIED);
  assert.ok((await framesOf(document)).length <= 99);
});

test('an answer is left out of the palate and put back', async () => {
  const { person, guest, poured } = await fill();
  const id = sheetId(guest, poured[0]?.glass ?? '');
  await leaveOut(id, true);
  assert.equal((await record('sheet', id))?.fields['left_out'], true);
  // The mark goes along.
  const scanned = readPersonDocument(personDocument(await readPerson(person)));
  assert.equal(scanned?.edits.find((edit) => edit.id === id)?.fields['left_out'], true);
  await leaveOut(id, false);
  assert.equal((await record('sheet', id))?.fields['left_out'], null);
});

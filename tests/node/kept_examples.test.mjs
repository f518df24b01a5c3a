// An example tasting that one phone changed while another one removed the example.
import assert from 'node:assert/strict';
import test from 'node:test';
import { db } from '../../static/store/database.js';
import { newId, save } from '../../static/store/write.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { OTHER, answerOf, at, emptyBook, recordOf, requestOf, useEmptyBook } from './support.mjs';

useEmptyBook();
const LOADED = at(-9_000);
const MARK = { deleted: true, deleted_clock: at(5_000, OTHER) };
const [BOTTLE, VISIT, NOTE] = [newId(), newId(), newId()];

/** @param {{ deleted?: boolean, deleted_clock?: string | null }} [mark] @returns {any[]} the example */
function example(mark = {}) {
  const marked = /** @type {[unknown, string]} */ ([true, LOADED]);
  return [
    recordOf(BOTTLE, { name: ['a', LOADED], example: marked }, { kind: 'bottle', ...mark }),
    recordOf(VISIT, { on: ['2026-03-01', LOADED], example: marked }, { kind: 'visit', ...mark }),
    recordOf(
      NOTE,
      { bottle: [BOTTLE, LOADED], visit: [VISIT, LOADED], words: ['sample', LOADED], example: marked },
      { kind: 'tasting', ...mark },
    ),
  ];
}

/** @param {any[]} rows */
async function hold(rows) {
  await emptyBook({}, { epoch: 'e1' });
  for (const row of rows) await db.table(row.kind).put({ ...row, gone: row.deleted ? 1 : 0 });
}

/** @param {any[]} changes @param {any[]} [sent] */
async function receive(changes, sent = []) {
  const last = (await db.meta.get('clock'))?.last ?? null;
  await applyResponse(answerOf({ cursor: 1, changes }), requestOf({ epoch: 'e1', cursor: 0, sent, last }));
}

/** @returns {Promise<unknown>} whether bottle, visit and note are gone, and whether the note is an example */
async function left() {
  const rows = [await db.bottle.get(BOTTLE), await db.visit.get(VISIT), await db.tasting.get(NOTE)];
  return [...rows.map((row) => row?.gone), rows[2]?.fields['example']];
}

/** @param {string} field @param {unknown} value @param {string} clock @param {any} row */
function edited(field, value, clock, row) {
  return { ...row, fields: { ...row.fields, [field]: value }, clocks: { ...row.clocks, [field]: clock } };
}

test('an example changed here stays when another removes it', async () => {
  await hold(example());
  await save('tasting', NOTE, { words: 'my own' });
  const [bottle, visit, note] = example(MARK);
  await receive([bottle, visit, note]);
  assert.deepEqual(await left(), [0, 0, 0, false]);
  const unsent = await db.outbox.get(NOTE);
  assert.deepEqual([unsent?.deleted, unsent?.fields['example'], unsent?.fields['words']], [false, false, 'my own']);
});

test('an example changed after its removal becomes an own note', async () => {
  await hold(example());
  const clock = at(9_000);
  const [bottle, visit, note] = example(MARK);
  const sent = recordOf(NOTE, { words: ['my own', clock] }, { kind: 'tasting' });
  await receive([bottle, visit, edited('words', 'my own', clock, note)], [sent]);
  assert.deepEqual(await left(), [0, 0, 0, false]);
});

test('an example removed before its change arrived comes back', async () => {
  await hold(example(MARK));
  const [, , note] = example(MARK);
  await receive([edited('words', 'my own', at(1_000, OTHER), note)]);
  assert.deepEqual(await left(), [0, 0, 0, false]);
});

test('a changed bottle keeps the notes of an example', async () => {
  await hold(example(MARK));
  const [bottle] = example(MARK);
  await receive([edited('name', 'b', at(1_000, OTHER), bottle)]);
  assert.deepEqual(await left(), [0, 0, 0, false]);
});

test('an example that nobody changed goes', async () => {
  await hold(example());
  // What was sent was the loading itself, or the removal.
  await receive(example(MARK), [...example(), ...example(MARK)]);
  assert.deepEqual(await left(), [1, 1, 1, true]);
});

test('a changed example that was deleted for itself stays deleted', async () => {
  const note = edited('words', 'my own', at(1_000), example()[2]);
  await hold([...example().slice(0, 2), note]);
  await receive([{ ...note, ...MARK }]);
  assert.deepEqual(await left(), [0, 0, 1, true]);
});

// An example tasting that one phone changed while another one removed the example.
import assert from 'node:assert/strict';
import test from 'node:test';
import { isEdited } from '../../static/store/edited_example.js';
import { db } from '../../static/store/database.js';
import { save } from '../../static/store/write.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { OTHER, answerOf, at, emptyBook, recordOf, requestOf, someId, unsentOf, useEmptyBook } from './support.mjs';

useEmptyBook();
const LOADED = at(-9_000);
const MARK = { deleted: true, deleted_clock: at(5_000, OTHER) };
const [BOTTLE, VISIT, NOTE] = [someId(), someId(), someId()];

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
  const part = recordOf(NOTE, { words: ['sample', LOADED] }, { kind: 'tasting' });
  await receive(example(MARK), [...example(), ...example(MARK), part]);
  assert.deepEqual(await left(), [1, 1, 1, true]);
  // Again, as after the server was restored.
  await db.meta.update('server', { cursor: 0 });
  await receive(example(MARK));
  assert.deepEqual(await left(), [1, 1, 1, true]);
});

test('an example loaded elsewhere in another language is no edit', async () => {
  const loaded = at(1_000, OTHER);
  const theirs = example().map((row) => edited('example', true, loaded, row));
  theirs[2] = edited('words', 'exemple', loaded, theirs[2]);
  for (const [mine, received] of [
    [example(), theirs],
    [theirs, example()],
  ]) {
    await hold(/** @type {any[]} */ (mine));
    await receive(/** @type {any[]} */ (received));
    const note = /** @type {any} */ (await db.tasting.get(NOTE));
    assert.deepEqual([note.fields['words'], isEdited(note)], ['exemple', false]);
    assert.deepEqual([await left(), await unsent()], [[0, 0, 0, true], []]);
  }
});

test('a changed example that was deleted for itself stays deleted', async () => {
  const note = edited('words', 'my own', at(1_000), example()[2]);
  await hold([...example().slice(0, 2), note]);
  await receive([{ ...note, ...MARK }]);
  assert.deepEqual(await left(), [0, 0, 1, true]);
});

/** @returns {Promise<any[]>} */
const unsent = () => db.outbox.toArray();

test('a kept example is restored whole, and sent', async () => {
  await hold(example(MARK));
  await db.outbox.put(
    unsentOf(NOTE, { place: ['here', LOADED] }, { kind: 'tasting', held: 1, errors: {}, not_before_ms: 9 }),
  );
  const [, , note] = example(MARK);
  await receive([edited('words', 'my own', at(1_000, OTHER), note)]);
  const stamp = /** @type {any} */ (await db.meta.get('clock')).last;
  assert.ok(stamp > MARK.deleted_clock);
  const mark = { deleted: false, deleted_clock: stamp };
  const sent = { place: ['here', LOADED], example: [false, stamp] };
  assert.deepEqual(await unsent(), [
    unsentOf(BOTTLE, {}, mark),
    unsentOf(VISIT, {}, { ...mark, kind: 'visit' }),
    unsentOf(NOTE, /** @type {any} */ (sent), { ...mark, kind: 'tasting' }),
  ]);
  const whole = edited('example', false, stamp, edited('words', 'my own', at(1_000, OTHER), note));
  assert.deepEqual(await db.tasting.get(NOTE), { ...whole, ...mark, gone: 0 });
  assert.deepEqual(await db.bottle.get(BOTTLE), { ...example(mark)[0], gone: 0 });
});

test('a kept example is written once', async () => {
  await hold(example(MARK));
  const page = [...example(MARK).slice(0, 2), edited('words', 'my own', at(1_000, OTHER), example(MARK)[2])];
  await receive(page);
  const before = [await unsent(), await db.tasting.toArray()];
  await db.meta.update('server', { cursor: 0 });
  await receive(page);
  assert.deepEqual([await unsent(), await db.tasting.toArray()], before);
  // Another phone kept it as well, a little later.
  const [bottle, visit] = example();
  const mark = { deleted: false, deleted_clock: at(9_000, OTHER) };
  await db.outbox.clear();
  await db.meta.update('server', { cursor: 0 });
  const theirs = { ...edited('example', false, at(9_000, OTHER), page[2]), ...mark };
  await receive([{ ...bottle, ...mark }, { ...visit, ...mark }, theirs]);
  assert.deepEqual([await left(), await unsent()], [[0, 0, 0, false], []]);
});

test('a removal during a sync spares what it brings', async () => {
  // The server has not received the removal yet.
  await hold(example(MARK));
  await receive([edited('words', 'my own', at(1_000, OTHER), example()[2])]);
  assert.deepEqual(await left(), [0, 0, 0, false]);
});

test('an example changed and removed elsewhere goes', async () => {
  const note = edited('words', 'my own', at(1_000, OTHER), example(MARK)[2]);
  await hold(example());
  await receive([note]);
  assert.deepEqual([await left(), await unsent()], [[0, 0, 1, true], []]);
  await hold([]);
  await receive([note]);
  assert.deepEqual([(await db.tasting.get(NOTE))?.gone, await unsent()], [1, []]);
});

test('a deletion by somebody who knew of the change stays', async () => {
  const note = edited('words', 'my own', at(1_000, OTHER), example(MARK)[2]);
  await hold([...example().slice(0, 2), note]);
  await receive([edited('place', 'here', at(2_000, OTHER), note)]);
  assert.deepEqual([await left(), await unsent()], [[0, 0, 1, true], []]);
});

test('a note changed and then deleted here stays deleted', async () => {
  const own = edited('words', 'my own', at(1_000), example(MARK)[2]);
  const sent = [recordOf(NOTE, { words: ['my own', at(1_000)] }, { kind: 'tasting', ...MARK })];
  await hold([...example().slice(0, 2), own]);
  await receive([edited('place', 'here', at(500, OTHER), own)], sent);
  assert.deepEqual([await left(), await unsent()], [[0, 0, 1, true], []]);
  // The deletion is not sent yet, and the server has an undone one.
  await hold([...example().slice(0, 2), own]);
  await db.outbox.put(unsentOf(NOTE, {}, { kind: 'tasting', ...MARK }));
  const undone = example({ deleted: false, deleted_clock: at(-8_000) })[2];
  await receive([edited('words', 'my own', at(1_000), undone)], [{ ...sent[0], deleted: false, deleted_clock: null }]);
  assert.deepEqual(await left(), [0, 0, 1, true]);
});

test('an example sent whole with one change stays', async () => {
  await hold(example());
  const [, , note] = example();
  await receive([example(MARK)[2]], [edited('words', 'my own', at(1_000), note)]);
  assert.deepEqual(await left(), [0, 0, 0, false]);
});

test('what a kept example names is not touched if it is own', async () => {
  const [bottle, visit, note] = example(MARK);
  delete visit.fields.example;
  await hold([bottle, visit, note]);
  await receive([edited('words', 'my own', at(1_000, OTHER), note)]);
  assert.deepEqual([await left(), await db.outbox.get(VISIT)], [[0, 1, 0, false], undefined]);
  delete note.fields.visit;
  await hold([bottle, note]);
  await receive([edited('words', 'my own', at(1_000, OTHER), note)]);
  assert.deepEqual(await left(), [0, undefined, 0, false]);
});

test('a changed bottle keeps only deleted samples', async () => {
  const [bottle, , note] = example(MARK);
  const own = edited('example', false, at(2_000), note);
  const change = [edited('name', 'b', at(1_000, OTHER), bottle)];
  await hold([bottle, own]);
  await receive(change);
  assert.deepEqual([(await db.tasting.get(NOTE))?.gone, await unsent()], [1, []]);
  await hold([bottle, example()[2]]);
  await receive(change);
  assert.deepEqual([(await db.tasting.get(NOTE))?.fields['example'], await unsent()], [true, []]);
});

test('an own note that is deleted elsewhere stays deleted', async () => {
  const note = recordOf(NOTE, { words: ['a', LOADED] }, { kind: 'tasting' });
  await hold([note]);
  await receive([{ ...note, ...MARK }], [edited('words', 'b', at(1_000), note)]);
  assert.deepEqual([(await db.tasting.get(NOTE))?.gone, await unsent()], [1, []]);
  assert.equal((await db.meta.get('clock'))?.last, MARK.deleted_clock);
});

test('a record that was never an example counts as edited', () => {
  assert.ok(isEdited(recordOf(NOTE, { words: ['a', LOADED] })));
});

// Which values of a record the server has dropped, by the clocks of both sides.
import assert from 'node:assert/strict';
import test from 'node:test';
import { db, transaction } from '../../static/store/database.js';
import { droppedValues, writeAgain } from '../../static/sync/dropped_values.js';
import { DEVICE, OTHER, at, emptyBook, recordOf, unsentOf } from './support.mjs';

const MARK = at(50, OTHER);
const DELETED = { deleted: true, deleted_clock: MARK };

/** @param {any} fields @param {any} [mark] */
const record = (fields, mark) => recordOf('0192f0c1-2a3b-7c4d-8e5f-000000000001', fields, mark);

/**
 * @param {any} mine
 * @param {any} theirs
 * @returns {string[] | null} names of the dropped values
 */
function dropped(mine, theirs) {
  const [found, ...more] = droppedValues(mine, theirs, DEVICE);
  assert.equal(more.length, 0);
  if (!found) return null;
  assert.deepEqual([found.kind, found.id], [theirs.kind, theirs.id]);
  for (const [name, value] of Object.entries(found.fields)) assert.equal(value, mine.fields[name]);
  return Object.keys(found.fields);
}

const edited = { note: ['mine', at(60)] };
const emptied = { words: [null, MARK], note: ['mine', at(60)] };

test('a record that the phone does not have lacks nothing', () => {
  assert.deepEqual(droppedValues(null, record(emptied, DELETED), DEVICE), []);
});

test('a record without a mark has lost nothing', () => {
  assert.equal(dropped(record({ ...edited, words: ['w', at(1)] }), record(emptied)), null);
});

test('an edit after the deletion needs the older values', () => {
  const mine = record({ ...edited, words: ['w', at(1)], place: ['p', at(2)] });
  assert.deepEqual(dropped(mine, record({ ...emptied, place: [null, MARK] }, DELETED)), ['words', 'place']);
});

test('an edit before or at the deletion needs nothing', () => {
  for (const clock of [at(49), MARK]) {
    const mine = record({ note: ['mine', clock], words: ['w', at(1)] });
    assert.equal(dropped(mine, record(emptied, DELETED)), null);
  }
});

test('only values that the server lacks are needed', () => {
  const mine = record({ ...edited, words: [null, at(1)], place: ['p', at(2)], region: ['r', at(3)] });
  const theirs = record({ ...emptied, place: ['q', MARK], region: [null, at(40, OTHER)] }, DELETED);
  assert.equal(dropped(mine, theirs), null);
});

test('values written after the deletion are not old', () => {
  const mine = record({ ...edited, words: ['w', at(60)], place: ['p', MARK] });
  const theirs = record({ ...emptied, place: [null, MARK] }, DELETED);
  assert.equal(dropped(mine, theirs), null);
  const older = record({ ...edited, words: ['w', at(60)], place: ['p', at(2)] });
  assert.deepEqual(dropped(older, theirs), ['place']);
});

test('a value whose clock the phone lacks is old', () => {
  const mine = record(edited);
  mine.fields.words = 'w';
  assert.deepEqual(dropped(mine, record(emptied, DELETED)), ['words']);
});

test('a restoring after the deletion needs the older values', () => {
  const words = { words: ['w', at(1)] };
  const theirs = record({ words: [null, MARK] }, DELETED);
  assert.deepEqual(dropped(record(words, { deleted_clock: at(60) }), theirs), ['words']);
  assert.equal(dropped(record(words, { deleted_clock: MARK }), theirs), null);
  assert.equal(dropped(record(words, { deleted_clock: at(40) }), theirs), null);
  assert.equal(dropped(record(words), theirs), null);
  assert.equal(dropped(record(words, { deleted: true, deleted_clock: at(60) }), theirs), null);
});

/** The mark of a restoring by this phone, which the server has taken. */
const RESTORED = { deleted: false, deleted_clock: at(60) };
const AGO = at(50, OTHER);

test('a restored record needs what was dropped before', () => {
  const mine = record({ words: ['w', at(1)], place: ['p', at(2)] }, RESTORED);
  assert.deepEqual(dropped(mine, record({ words: [null, AGO], place: [null, AGO] }, RESTORED)), ['words', 'place']);
});

test('a record that another restored is left to that phone', () => {
  const [words, theirs] = [{ words: ['w', at(1)] }, { words: [null, AGO] }];
  const mark = { deleted: false, deleted_clock: at(60, OTHER) };
  assert.equal(dropped(record(words, mark), record(theirs, mark)), null);
  assert.equal(dropped(record(words, { deleted_clock: at(59) }), record(theirs, RESTORED)), null);
});

test('a restored record with nothing empty has lost nothing', () => {
  const mine = record({ words: ['w', at(1)], place: ['p', at(2)] }, RESTORED);
  assert.equal(dropped(mine, record({ words: ['w', at(1)] }, RESTORED)), null);
  assert.equal(dropped(mine, record({ words: [null, at(60, OTHER)] }, RESTORED)), null, 'emptied after the restoring');
});

test('a restored record with an older value was never emptied', () => {
  const mine = record({ words: ['w', at(1)], place: ['p', at(2)] }, RESTORED);
  assert.equal(dropped(mine, record({ words: [null, AGO], place: ['p', at(2)] }, RESTORED)), null);
  assert.deepEqual(dropped(mine, record({ words: [null, AGO], place: ['q', at(55, OTHER)] }, RESTORED)), ['words']);
});

test('a restored record was emptied with its latest empty field', () => {
  const mine = record({ words: ['w', at(1)], place: ['p', at(2)], region: ['r', at(3)] }, RESTORED);
  const theirs = record({ words: [null, AGO], place: [null, at(4, OTHER)], region: [null, AGO] }, RESTORED);
  assert.deepEqual(dropped(mine, theirs), ['words', 'region']);
});

test('what was emptied with the restoring is not the drop', () => {
  const mine = record({ words: ['w', at(1)], place: [null, at(60)] }, RESTORED);
  assert.deepEqual(dropped(mine, record({ words: [null, AGO], place: [null, at(60)] }, RESTORED)), ['words']);
});

test('a save that wrote and emptied fields is not the drop', () => {
  const mine = record({ words: ['w', at(1)], place: ['p', at(2)] }, RESTORED);
  assert.equal(dropped(mine, record({ words: [null, AGO], place: ['q', AGO] }, RESTORED)), null);
});

test('a field with a clock and no value is empty', () => {
  const mine = record({ ...edited, words: ['w', at(1)], place: ['p', at(2)] });
  delete mine.fields.place;
  const theirs = record({ ...emptied, place: [null, MARK] }, DELETED);
  delete theirs.fields.words;
  assert.deepEqual(dropped(mine, theirs), ['words']);
});

test('values written again are sent, even of a rejected record', async () => {
  await emptyBook();
  const mine = record({ ...edited, words: ['w', at(1)] });
  await db.bottle.put({ ...mine, gone: 0 });
  const rejected = { held: 1, errors: { note: [{ code: 'too_long' }] }, not_before_ms: 7 };
  await db.outbox.put(unsentOf(mine.id, /** @type {any} */ (edited), rejected));
  const stamp = at(70);
  const work = [{ kind: mine.kind, id: mine.id, fields: { words: 'w' } }];
  assert.equal(await transaction('rw', ['bottle', 'outbox'], (tx) => writeAgain(tx, work, stamp)), stamp);
  const { fields, clocks, held, errors, not_before_ms } = await db.outbox.get(mine.id);
  assert.deepEqual(
    [fields, clocks],
    [
      { note: 'mine', words: 'w' },
      { note: at(60), words: stamp },
    ],
  );
  assert.deepEqual([held, errors, not_before_ms], [0, null, 0]);
  assert.equal((await db.bottle.get(mine.id)).clocks.words, stamp);
});

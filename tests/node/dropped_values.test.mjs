// A phone brings back a record whose values the server has dropped.
import assert from 'node:assert/strict';
import test from 'node:test';
import { db } from '../../static/store/database.js';
import { restore, save } from '../../static/store/write.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { buildRequest } from '../../static/sync/build_request.js';
import { NOW, OTHER, answerOf, at, recordOf, someId, useEmptyBook } from './support.mjs';

const LATER = 3_000_000_000;

useEmptyBook(NOW + LATER);

/**
 * A phone holds a tasting since long ago.
 * @param {any} [mark]
 */
async function held(mark = {}) {
  const id = someId();
  const said = { words: ['all of it', at(1, OTHER)], place: ['home', at(2, OTHER)], liking: [null, at(3, OTHER)] };
  const { deleted } = mark;
  await db.tasting.put({ ...recordOf(id, said, { kind: 'tasting', ...mark }), gone: deleted ? 1 : 0 });
  return id;
}

/**
 * What the server has of it after it dropped the values, with what the phone sent.
 * @param {any} [sent]
 */
function dropped(id, { said = {}, ...mark }) {
  const [name, clock] = ['words', mark.dropped ?? mark.deleted_clock];
  const fields = { [name]: [null, clock], place: [null, clock], liking: [null, at(3, OTHER)], ...said };
  return recordOf(id, fields, { kind: 'tasting', ...mark });
}

async function answer(...changes) {
  const request = await buildRequest(10, 1_000);
  const outcomes = request.sent.map(({ id }) => ({ id, outcome: 'applied' }));
  await applyResponse(answerOf({ outcomes, changes }), request);
}

const mark = { deleted: true, deleted_clock: at(50, OTHER) };
const mine = at(LATER);

test('an edited record gets its dropped values back', async () => {
  const id = await held();
  await save('tasting', id, { words: 'more of it' });
  await answer(dropped(id, { ...mark, said: { words: ['more of it', mine] } }));
  const next = at(LATER, undefined, 1);
  const { fields, clocks, gone } = await db.tasting.get(id);
  assert.deepEqual(fields, { words: 'more of it', place: 'home', liking: null });
  assert.deepEqual([clocks.words, clocks.place, clocks.liking, gone], [mine, next, at(3, OTHER), 0]);
  const unsent = await db.outbox.get(id);
  assert.deepEqual([unsent.fields, unsent.clocks], [{ place: 'home' }, { place: next }]);
  assert.equal((await db.meta.get('clock')).last, next);
});

test('values are written again before the edit has arrived', async () => {
  const id = await held();
  await save('tasting', id, { words: 'more of it' });
  const request = { ...(await buildRequest(10, 1_000)), sent: [] };
  await applyResponse(answerOf({ changes: [dropped(id, mark)] }), request);
  const unsent = await db.outbox.get(id);
  assert.deepEqual(unsent.fields, { words: 'more of it', place: 'home' });
  assert.equal((await db.tasting.get(id)).gone, 0);
});

for (const arrived of [false, true]) {
  test(`a restored record gets its values back, arrived: ${arrived}`, async () => {
    const id = await held(mark);
    await restore('tasting', id);
    const known = arrived ? { deleted: false, deleted_clock: mine, dropped: mark.deleted_clock } : mark;
    await answer(dropped(id, known));
    const { fields, gone } = await db.tasting.get(id);
    assert.deepEqual([fields, gone], [{ words: 'all of it', place: 'home', liking: null }, 0]);
    assert.deepEqual((await db.outbox.get(id)).fields, { words: 'all of it', place: 'home' });
  });
}

test('a record that stays deleted is emptied', async () => {
  const id = await held();
  await answer(dropped(id, mark));
  assert.deepEqual((await db.tasting.get(id)).fields, { words: null, place: null, liking: null });
  assert.equal(await db.outbox.count(), 0);
});

test('a record that another phone brought back is left to it', async () => {
  const id = await held();
  await answer(dropped(id, { ...mark, said: { words: ['theirs', at(LATER, OTHER)] } }));
  assert.deepEqual((await db.tasting.get(id)).fields, { words: 'theirs', place: null, liking: null });
  assert.equal(await db.outbox.count(), 0);
});

test('a record that another phone restored is left to it', async () => {
  const restored = { deleted: false, deleted_clock: at(LATER - 9, OTHER) };
  const id = await held(restored);
  await answer(dropped(id, { ...restored, dropped: mark.deleted_clock }));
  assert.deepEqual((await db.tasting.get(id)).fields, { words: null, place: null, liking: null });
  assert.equal(await db.outbox.count(), 0);
});

test('a field that somebody emptied stays empty', async () => {
  const id = await held(mark);
  await restore('tasting', id);
  const emptied = { words: ['all of it', at(1, OTHER)], place: [null, at(40, OTHER)], liking: [null, at(3, OTHER)] };
  await answer(recordOf(id, emptied, { kind: 'tasting', deleted: false, deleted_clock: mine }));
  assert.deepEqual((await db.tasting.get(id)).fields, { words: 'all of it', place: null, liking: null });
  assert.equal(await db.outbox.count(), 0);
});

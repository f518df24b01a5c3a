// What a closed page leaves of a blind flight and of a triangle test.
import assert from 'node:assert/strict';
import test from 'node:test';
import { createFlight, emptyDraft, flightDraft, revealFlight, saveFlight } from '../../static/domain/blind/flight.js';
import { saveOnce, startAgain, triangle } from '../../static/features/blind/triangle_state.js';
import { allOf, bottlesById, record } from '../../static/store/queries.js';
import { save } from '../../static/store/write.js';
import './english.mjs';
import { effect } from '../../static/lib/ui.js';
import { emptyBook, leftBehind, useEmptyBook } from './support.mjs';

useEmptyBook();

/** @param {string} name @returns {any} */
const wine = (name) => ({ bottle: null, name, style: null, label_abv: null, vintage: null });

test('the list of a flight is kept before its glasses', async () => {
  /** @type {Promise<unknown[]>} */
  let atFirst = Promise.resolve([]);
  const stop = effect(() => {
    if (flightDraft.value?.poured) atFirst = allOf('tasting');
  });
  await createFlight({ ...emptyDraft(), wines: [wine('One'), wine('Two')] }, 'Flight');
  stop();
  assert.deepEqual(await atFirst, []);
  assert.equal((await allOf('tasting')).length, 3);
  assert.equal(flightDraft.peek()?.poured?.glasses.length, 3);
});

test('a list whose glasses are missing makes them once', async () => {
  await createFlight({ ...emptyDraft(), wines: [wine('One'), wine('Two')] }, 'Flight');
  const poured = /** @type {any} */ (flightDraft.peek()?.poured);
  const before = (await allOf('tasting')).map(({ id, fields }) => [id, fields]);
  await emptyBook();
  await saveFlight(poured);
  assert.deepEqual(
    (await allOf('tasting')).map(({ id, fields }) => [id, fields]),
    before,
  );
  const id = String(before[0]?.[0]);
  await save('tasting', id, { label_hidden: false });
  await saveFlight(poured);
  assert.equal((await record('tasting', id))?.fields['label_hidden'], false);
  await saveFlight({ visit: poured.visit, glasses: [] });
  assert.equal((await allOf('bottle')).length, 2);
});

test('a triangle test keeps its rounds until they are saved', async () => {
  const rounds = [{ odd: 1, odd_wine: 0, answer: 1 }];
  await triangle.set({ names: ['One', 'Two'], planned: 1, rounds, handed: false });
  const now = /** @type {any} */ (triangle.peek());
  const saved = saveOnce(now);
  const again = startAgain(now);
  assert.equal(triangle.peek()?.rounds, rounds);
  await again;
  assert.deepEqual(triangle.peek()?.rounds, []);
  const [visit, ...others] = await allOf('visit');
  assert.deepEqual(others, []);
  assert.equal(visit?.id, await saved);
  assert.equal(visit?.fields['triangle_found'], 1);
});

test('a reveal of all is kept by a page that is closed at once', async () => {
  await createFlight({ ...emptyDraft(), wines: [wine('One'), wine('Two')] }, 'Flight');
  const revealed = revealFlight(await allOf('tasting'), await bottlesById());
  const uncovered = leftBehind().filter(({ fields }) => fields.uncovered_at);
  assert.deepEqual([uncovered.length, leftBehind().length], [3, 5]);
  await revealed;
  assert.deepEqual(
    (await allOf('bottle')).map(({ fields }) => fields['covered']),
    [false, false],
  );
});

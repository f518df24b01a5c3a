// Choosing a known bottle while another one is being entered: link and deletion are one commit.
import assert from 'node:assert/strict';
import test from 'node:test';
import { useExisting as useOnPour } from '../../static/domain/bottle/switch_bottle.js';
import { whenIdle } from '../../static/domain/pour/autosave_queue.js';
import { currentPour, setFields, values } from '../../static/domain/pour/current_pour.js';
import { closePour, loadPour } from '../../static/domain/pour/load_pour.js';
import {
  pickDraft,
  setDraftFields,
  startDraft,
  useExisting as useOnPick,
} from '../../static/features/shelf/add/pick_draft.js';
import { journalKey } from '../../static/store/database_name.js';
import { bottle, record, tasting } from '../../static/store/queries.js';
import { newId, save } from '../../static/store/write.js';
import { useEmptyBook } from './support.mjs';

useEmptyBook();
// No field has the focus.
Object.assign(globalThis, { HTMLInputElement: class {}, HTMLTextAreaElement: class {} });

/** @returns {Promise<any>} a bottle that was noted before */
async function knownBottle() {
  return bottle(await save('bottle', newId(), { name: 'Quiet Ledge' }));
}

/** @returns {any[]} the edits that a page closed now would leave for the next start */
function leftBehind() {
  dispatchEvent(new Event('pagehide'));
  return Object.keys(localStorage)
    .filter((key) => key.startsWith(journalKey))
    .flatMap((key) => JSON.parse(localStorage[key]));
}

test('a pick of a known bottle drops the typed one at once', async () => {
  const known = await knownBottle();
  startDraft();
  setDraftFields('bottle', { name: 'Quiet' });
  await whenIdle();
  const { pick, bottle: typed } = /** @type {any} */ (pickDraft.peek());
  useOnPick(known);
  assert.deepEqual(
    leftBehind().map(({ id, deleted }) => [id, deleted]),
    [
      [pick, undefined],
      [typed, true],
    ],
  );
  await whenIdle();
  assert.equal((await record('pick', pick))?.fields['bottle'], known.id);
  assert.equal((await bottle(typed))?.gone, 1);
});

test('a typed bottle goes even if its name is unsaved', async () => {
  const known = await knownBottle();
  startDraft();
  setDraftFields('bottle', { name: 'Quie' });
  setDraftFields('bottle', { name: 'Quiet' });
  const typed = pickDraft.peek()?.bottle ?? '';
  useOnPick(known);
  await whenIdle();
  assert.equal((await bottle(typed))?.gone, 1);
});

/** @returns {Promise<{ tasting: string, bottle: string }>} of a pour whose name is typed */
async function typedPour() {
  await loadPour(undefined);
  setFields('bottle', { name: 'Quiet' });
  await whenIdle();
  return /** @type {any} */ (currentPour.peek());
}

test('a pour of a known bottle drops the typed one', async () => {
  const known = await knownBottle();
  const pour = await typedPour();
  await useOnPour(known);
  assert.deepEqual(
    leftBehind().map(({ id, deleted }) => [id, deleted]),
    [
      [pour.tasting, undefined],
      [pour.bottle, true],
    ],
  );
  await whenIdle();
  assert.equal((await tasting(pour.tasting))?.fields['bottle'], known.id);
  assert.equal((await bottle(pour.bottle))?.gone, 1);
  assert.equal(values.bottle.peek()['name'], 'Quiet Ledge');
  await closePour();
});

test('a bottle on the shelf stays when a pour leaves it', async () => {
  const known = await knownBottle();
  const pour = await typedPour();
  await save('pick', newId(), { bottle: pour.bottle });
  await useOnPour(known);
  await whenIdle();
  assert.equal((await bottle(pour.bottle))?.gone, 0);
  await closePour();
});

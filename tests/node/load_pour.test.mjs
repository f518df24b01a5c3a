// Which pour a start opens, how an empty one goes, and what a new one takes over from the store's latest one.
import assert from 'node:assert/strict';
import test from 'node:test';
import { currentPour, setFields, values } from '../../static/domain/pour/current_pour.js';
import { closePour, loadPour } from '../../static/domain/pour/load_pour.js';
import { finishPour, reopenPour } from '../../static/features/pour/finish_pour.js';
import { whenIdle } from '../../static/domain/pour/autosave_queue.js';
import { timestamp } from '../../static/lib/datetime.js';
import { db } from '../../static/store/database.js';
import { deletedTastings } from '../../static/store/deleted_tastings.js';
import { openPour } from '../../static/store/open_pour.js';
import { allOf, bottle, tasting } from '../../static/store/queries.js';
import { newId, remove, restore, save } from '../../static/store/write.js';
import { applyPage } from '../../static/sync/apply_page.js';
import { DEVICE, NOW, OTHER, at, recordOf, until, useEmptyBook } from './support.mjs';

const HOUR_MS = 3_600_000;
useEmptyBook();
// No field has the focus until a test gives it.
class TextArea {
  closest() {
    return { dataset: { field: 'tasting.words' } };
  }
}
Object.assign(globalThis, { HTMLInputElement: class {}, HTMLTextAreaElement: TextArea });

/** @param {number} hours from now @returns {Promise<unknown>} the place of a pour begun after one at that time */
async function placeAfter(hours) {
  const tasted_at = timestamp(new Date(NOW + hours * HOUR_MS));
  await save('tasting', newId(), { place: 'Cellar', tasted_at, closed_at: tasted_at });
  await loadPour(undefined);
  const { place } = values.tasting.value;
  await closePour();
  return place;
}

test('a pour takes over the place of a recent one', async () => {
  assert.equal(await placeAfter(-5), 'Cellar');
});

test('a pour takes over no place of a note of long ago', async () => {
  assert.equal(await placeAfter(-7), undefined);
});

test('a pour takes over no place of a note in the future', async () => {
  assert.equal(await placeAfter(24), undefined);
});

test('a start leaves the pour that was being finished', async () => {
  const tasted_at = timestamp(new Date(NOW));
  const id = await save('tasting', newId(), { tasted_at });
  await openPour.set({ tasting: id, step: 'note' });
  await loadPour(undefined);
  assert.equal(currentPour.peek()?.tasting, id);
  await save('tasting', id, { closed_at: tasted_at });
  await loadPour(undefined);
  assert.notEqual(currentPour.peek()?.tasting, id);
  assert.equal(openPour.peek(), null);
  assert.equal(await loadPour(id), true);
  assert.equal(currentPour.peek()?.tasting, id);
  await closePour();
});

test('a cleared pour and its bottle go in one commit', async () => {
  await loadPour(undefined);
  const pour = currentPour.peek();
  setFields('bottle', { name: 'Quiet Ledge' });
  setFields('bottle', { name: null });
  await whenIdle();
  assert.deepEqual(await finishPour(), { outcome: 'blank' });
  const gone = await tasting(pour?.tasting ?? '');
  assert.equal(gone?.gone, 1);
  assert.deepEqual(await deletedTastings(), []);
  assert.equal((await bottle(pour?.bottle ?? ''))?.deleted_clock, gone?.deleted_clock);
  await closePour();
});

test('an open pour that was deleted elsewhere is gone', async () => {
  const id = await save('tasting', newId(), { words: 'plum' });
  await loadPour(id);
  await remove('tasting', id);
  await until(() => currentPour.peek()?.gone);
  assert.equal(await loadPour(id), false);
  await restore('tasting', id);
  await loadPour(id);
  assert.equal(currentPour.peek()?.gone, undefined);
  await closePour();
});

test('undoing the finish of a deleted note makes no new one', async () => {
  const id = await save('tasting', newId(), { words: 'plum', closed_at: timestamp(new Date(NOW)) });
  await loadPour(undefined);
  await remove('tasting', id);
  await reopenPour(id);
  await whenIdle();
  assert.deepEqual(await allOf('tasting'), []);
  assert.equal((await tasting(id))?.gone, 1);
  await closePour();
});

test('a field left after a remote edit shows it, writes nothing', async () => {
  const id = await save('tasting', newId(), { words: 'plum' });
  await loadPour(id);
  Object.assign(document, { activeElement: new TextArea() });
  setFields('tasting', { words: 'plum, smoke' });
  await whenIdle();
  const afar = { words: ['plum, smoke, peel', at(1_000, OTHER)], place: ['afar', at(1_000, OTHER)] };
  await db.transaction('rw', ['tasting', 'outbox', 'meta', 'cache', 'photo_bytes'], (book) =>
    applyPage(/** @type {any} */ (book), [recordOf(id, /** @type {any} */ (afar), { kind: 'tasting' })], DEVICE),
  );
  await until(() => values.tasting.peek()['place'] === 'afar');
  assert.equal(values.tasting.peek()['words'], 'plum, smoke');
  Object.assign(document, { activeElement: null });
  document.dispatchEvent(new Event('focusout'));
  await until(() => values.tasting.peek()['words'] === 'plum, smoke, peel');
  await whenIdle();
  assert.equal((await tasting(id))?.clocks['words'], at(1_000, OTHER));
  await closePour();
});

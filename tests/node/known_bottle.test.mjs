// Choosing a known bottle, or another vintage of it, while one is being entered: one commit, made at the tap.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  bottlesToOffer,
  detachBottle,
  useExisting as useOnPour,
  useOtherVintage,
} from '../../static/domain/bottle/switch_bottle.js';
import { whenIdle } from '../../static/domain/pour/autosave_queue.js';
import { currentPour, setFields, values } from '../../static/domain/pour/current_pour.js';
import { closePour, loadPour } from '../../static/domain/pour/load_pour.js';
import {
  applyBarcode,
  errors,
  pickDraft,
  setDraftFields,
  startDraft,
  useExisting as useOnPick,
} from '../../static/features/shelf/add/pick_draft.js';
import { isShared } from '../../static/domain/bottle/match_bottle.js';
import { referencesToBottle } from '../../static/store/bottle_queries.js';
import { bottle, liveSignal, record, tasting } from '../../static/store/queries.js';
import { newId, remove, save } from '../../static/store/write.js';
import { leftBehind, until, useEmptyBook } from './support.mjs';

useEmptyBook();
// No field has the focus.
Object.assign(globalThis, { HTMLInputElement: class {}, HTMLTextAreaElement: class {} });

/** @returns {Promise<any>} a bottle that was noted before */
async function knownBottle() {
  return bottle(await save('bottle', newId(), { name: 'Quiet Ledge' }));
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

test('a known bottle gains what was typed and it lacks', async () => {
  const typed = { name: 'Quiet', label_abv: 13.5, style: 'red_barolo', colour: 'red', kind: 'still' };
  const facts = async (/** @type {string} */ id) => {
    const { name, label_abv, style } = (await bottle(id))?.fields ?? {};
    return [name, label_abv, style];
  };
  const onShelf = await knownBottle();
  startDraft();
  setDraftFields('bottle', typed);
  await whenIdle();
  useOnPick(onShelf);
  await whenIdle();
  assert.deepEqual(await facts(onShelf.id), ['Quiet Ledge', 13.5, 'red_barolo']);
  const onPour = await bottle(await save('bottle', newId(), { name: 'Quiet Ledge', label_abv: 12, vintage: 2019 }));
  for (const [vintage, style] of [
    [2018, undefined],
    [null, 'red_barolo'],
  ]) {
    await typedPour();
    setFields('bottle', { ...typed, vintage });
    await bottlesToOffer();
    await whenIdle();
    useOnPour(/** @type {any} */ (onPour));
    assert.equal(values.bottle.peek()['style'], style);
    await whenIdle();
    assert.deepEqual(await facts(String(onPour?.id)), ['Quiet Ledge', 12, style]);
    await closePour();
  }
});

/**
 * @param {any} known
 * @param {'tasting' | 'stock' | 'pick' | 'photo' | 'glass' | 'bottle'} kind of what refers to the typed bottle by now
 */
async function pickOfTwo(known, kind) {
  startDraft();
  setDraftFields('bottle', { name: 'Quiet' });
  await whenIdle();
  const { pick, bottle: typed } = /** @type {any} */ (pickDraft.peek());
  const seen = liveSignal(() => referencesToBottle(typed), /** @type {any[]} */ ([]));
  const stop = seen.subscribe(() => {});
  const other = await save(kind, newId(), { [kind === 'bottle' ? 'merged_into' : 'bottle']: typed });
  await until(() => seen.peek().length === 2);
  stop();
  useOnPick(known);
  await whenIdle();
  assert.equal((await record('pick', pick))?.fields['bottle'], known.id);
  return { gone: (await bottle(typed))?.gone, of: (await record(kind, other))?.fields['bottle'], typed };
}

test('a typed bottle stays where something else refers to it', async () => {
  const known = await knownBottle();
  for (const kind of /** @type {const} */ (['tasting', 'stock', 'pick', 'glass'])) {
    const { gone, of, typed } = await pickOfTwo(known, kind);
    assert.deepEqual([kind, gone, of], [kind, 0, typed]);
  }
  assert.equal((await pickOfTwo(known, 'bottle')).gone, 0);
});

test('a photo of a typed bottle goes to the known one', async () => {
  const known = await knownBottle();
  const { gone, of } = await pickOfTwo(known, 'photo');
  assert.deepEqual([gone, of], [1, known.id]);
});

test('a barcode scanned twice keeps the new bottle', async () => {
  startDraft();
  await applyBarcode('4006381333931');
  await whenIdle();
  const { pick, bottle: own } = /** @type {any} */ (pickDraft.peek());
  await applyBarcode('4006381333931');
  await whenIdle();
  assert.equal((await record('pick', pick))?.fields['bottle'], own);
  assert.equal((await bottle(own))?.gone, 0);
});

test('a barcode finds no merged bottle and no hidden label', async () => {
  const gtin = '4006381333931';
  const known = await knownBottle();
  await save('bottle', newId(), { name: 'Quiet', gtin, merged_into: known.id });
  await save('bottle', newId(), { name: 'Secret', gtin, covered: true });
  await save('bottle', known.id, { gtin });
  startDraft();
  assert.equal(await applyBarcode(gtin), true);
  assert.equal(pickDraft.peek()?.bottle, known.id);
  await whenIdle();
  await remove('bottle', known.id);
  startDraft();
  assert.equal(await applyBarcode(gtin), false);
  await whenIdle();
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

test('an invalid value of a pick is shown and not stored', async () => {
  startDraft();
  setDraftFields('pick', { price: 9, shop: 'Corner' });
  setDraftFields('pick', { price: -1, shop: 'Market' });
  await whenIdle();
  assert.equal(errors.peek()['price']?.code, 'too_low');
  const { price, shop } = (await record('pick', pickDraft.peek()?.pick ?? ''))?.fields ?? {};
  assert.deepEqual([price, shop], [9, 'Market']);
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
  await bottlesToOffer();
  useOnPour(known);
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

test('a bottle with other records stays when a pour leaves it', async () => {
  const known = await knownBottle();
  for (const kind of /** @type {const} */ (['pick', 'stock', 'tasting', 'photo', 'glass', 'bottle'])) {
    const pour = await typedPour();
    await save(kind, newId(), { [kind === 'bottle' ? 'merged_into' : 'bottle']: pour.bottle });
    await bottlesToOffer();
    useOnPour(known);
    await whenIdle();
    assert.equal((await bottle(pour.bottle))?.gone, 0, kind);
    await closePour();
  }
});

test('another vintage is kept by a page that is closed at once', async () => {
  const known = await knownBottle();
  const pour = await typedPour();
  setFields('bottle', { label_abv: 13 });
  await bottlesToOffer();
  await whenIdle();
  useOtherVintage(known);
  assert.deepEqual(leftBehind(), [{ kind: 'bottle', id: pour.bottle, fields: { name: 'Quiet Ledge' } }]);
  assert.equal(values.bottle.peek()['label_abv'], 13);
  await whenIdle();
  await closePour();
});

test('another vintage leaves a bottle on the shelf as it is', async () => {
  const known = await knownBottle();
  const pour = await typedPour();
  await save('pick', newId(), { bottle: pour.bottle });
  await bottlesToOffer();
  useOtherVintage(known);
  await whenIdle();
  assert.equal((await bottle(pour.bottle))?.fields['name'], 'Quiet');
  assert.notEqual((await tasting(pour.tasting))?.fields['bottle'], pour.bottle);
  await closePour();
});

/** @param {{ tasting: string, bottle: string }} pour whose bottle gets on the shelf, once the page has noticed it */
async function putOnShelf({ tasting: id, bottle: own }) {
  const shared = liveSignal(() => isShared(own, id), /** @type {boolean | null} */ (null));
  const stop = shared.subscribe(() => {});
  await save('pick', newId(), { bottle: own });
  await until(() => shared.peek() === true);
  stop();
}

test('a bottle that another tab puts on the shelf stays', async () => {
  const known = await knownBottle();
  for (const use of [useOnPour, useOtherVintage]) {
    const pour = await typedPour();
    await bottlesToOffer();
    await putOnShelf(pour);
    use(known);
    await whenIdle();
    const { fields, gone } = /** @type {any} */ (await bottle(pour.bottle));
    assert.deepEqual([fields.name, gone], ['Quiet', 0]);
    await closePour();
  }
});

test('a bottle is read anew after a return to its pour', async () => {
  const known = await knownBottle();
  const pour = await typedPour();
  await bottlesToOffer();
  await closePour();
  await loadPour(undefined);
  await save('pick', newId(), { bottle: pour.bottle });
  await loadPour(pour.tasting);
  await bottlesToOffer();
  useOnPour(known);
  await whenIdle();
  assert.equal((await bottle(pour.bottle))?.gone, 0);
  await closePour();
});

test('a bottle of its own is kept by a page closed at once', async () => {
  const known = await knownBottle();
  const id = await save('tasting', newId(), { bottle: known.id });
  await loadPour(id);
  detachBottle();
  const [note, own] = leftBehind();
  assert.deepEqual([note.id, own.fields], [id, { name: 'Quiet Ledge' }]);
  assert.equal(note.fields.bottle, own.id);
  assert.notEqual(own.id, known.id);
  await whenIdle();
  await closePour();
});

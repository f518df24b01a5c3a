// A style that the typed name fills in follows that name, and no name of another phone, until somebody chooses one.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { whenIdle } from '../../static/domain/pour/autosave_queue.js';
import { currentPour, setFields, values } from '../../static/domain/pour/current_pour.js';
import { closePour, loadPour } from '../../static/domain/pour/load_pour.js';
import * as pick from '../../static/features/shelf/add/pick_draft.js';
import { db } from '../../static/store/database.js';
import { bottle } from '../../static/store/queries.js';
import { applyPage } from '../../static/sync/apply_page.js';
import { DEVICE, OTHER, at, recordOf, until, useEmptyBook } from './support.mjs';

useEmptyBook();
// No field has the focus.
Object.assign(globalThis, { HTMLInputElement: class {}, HTMLTextAreaElement: class {} });
// The router reads the address when it is loaded.
Object.assign(globalThis, { location: { hash: '', pathname: '/' } });
Object.assign(document, { documentElement: { style: { removeProperty() {} } } });
const { NameInput, typeName } = await import('../../static/features/pour/bottle/name_input.js');

/** @param {string[]} names typed one after the other @returns {Promise<string | null | undefined>} the style */
async function typed(...names) {
  await Promise.all(names.map((name) => typeName(name || null)));
  return values.bottle.peek()['style'];
}

/** @param {string[]} names */
async function typedOnShelf(...names) {
  await Promise.all(names.map((name) => pick.typeName(name || null)));
  return pick.values.bottle.peek()['style'];
}

test('a filled style follows the name through an empty field', async () => {
  await loadPour(undefined);
  pick.startDraft();
  for (const type of [typed, typedOnShelf]) {
    assert.equal(await type('Chab', 'Chablis'), 'wht_chablis');
    assert.equal(await type(''), null);
    assert.equal(await type('B', 'Barolo'), 'red_barolo');
  }
  assert.equal(values.bottle.peek()['colour'], 'red');
  await whenIdle();
  await closePour();
});

test('a filled style follows a name mended later', async () => {
  await loadPour(undefined);
  await typed('Chablis');
  await whenIdle();
  const id = currentPour.peek()?.tasting;
  await closePour();
  await loadPour(id);
  assert.equal(await typed('Barolo'), 'red_barolo');
  await whenIdle();
  await closePour();
});

test('a chosen style stays whatever is typed', async () => {
  await loadPour(undefined);
  await typed('Chablis');
  setFields('bottle', { style: 'red_barolo' });
  assert.equal(await typed('Chianti', 'Chianti Classico'), 'red_barolo');
  setFields('bottle', { style: null, colour: 'white' });
  assert.equal(await typed('Barolo', ''), null);
  await whenIdle();
  await closePour();
  pick.startDraft();
  pick.setDraftFields('bottle', { style: 'red_barolo' });
  assert.equal(await typedOnShelf('Chablis', ''), 'red_barolo');
  await whenIdle();
});

test('a name of another phone fills in no style', async () => {
  await loadPour(undefined);
  const id = currentPour.peek()?.bottle ?? '';
  await typed('Quiet Ledge');
  await whenIdle();
  const afar = { name: ['Barolo', at(1_000, OTHER)] };
  await db.transaction('rw', ['bottle', 'tasting', 'outbox', 'meta', 'cache', 'photo_bytes'], (book) =>
    applyPage(/** @type {any} */ (book), [recordOf(id, /** @type {any} */ (afar))], DEVICE),
  );
  await until(() => values.bottle.peek()['name'] === 'Barolo');
  await whenIdle();
  assert.equal((await bottle(id))?.fields['style'] ?? null, null);
  assert.equal(await typed('Barolo Riserva'), undefined);
  await whenIdle();
  await closePour();
});

test('a name of several notes is typed without a style', () => {
  const changes = [true, false].map(
    (isShared) => /** @type {any} */ (NameInput({ isShared })).props.children.props.onChange,
  );
  assert.deepEqual(changes, [undefined, typeName]);
});

// Revealing a hidden label: note and bottle are written at the tap.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { whenIdle } from '../../static/domain/pour/autosave_queue.js';
import { closePour, loadPour } from '../../static/domain/pour/load_pour.js';
import { bottle, tastingsOfBottle } from '../../static/store/queries.js';
import { newId, save } from '../../static/store/write.js';
import { leftBehind, useEmptyBook } from './support.mjs';

useEmptyBook();
// No field has the focus. The router reads the address when it is loaded.
Object.assign(globalThis, { HTMLInputElement: class {}, HTMLTextAreaElement: class {} });
Object.assign(globalThis, { location: { hash: '', pathname: '/' } });
Object.assign(document, { documentElement: { style: { removeProperty() {} } } });
const { reveal } = await import('../../static/features/pour/hidden_label.js');

/** @param {number} glasses @returns {Promise<string>} the hidden bottle of the open pour */
async function hiddenPour(glasses) {
  const id = await save('bottle', newId(), { name: 'Quiet Ledge', covered: true });
  const notes = Array.from({ length: glasses }, () => save('tasting', newId(), { bottle: id, label_hidden: true }));
  await loadPour(await notes[0]);
  await Promise.all(notes);
  return id;
}

test('a revealed label is kept by a page closed at once', async () => {
  const id = await hiddenPour(1);
  const done = reveal(await tastingsOfBottle(id));
  const [label, note] = leftBehind().sort((one, other) => (one.kind < other.kind ? -1 : 1));
  assert.deepEqual([label.fields, Object.keys(note.fields)], [{ covered: false }, ['uncovered_at']]);
  await done;
  await whenIdle();
  assert.equal((await bottle(id))?.fields['covered'], false);
  await closePour();
});

test('a label stays hidden for another glass of its bottle', async () => {
  const id = await hiddenPour(2);
  await reveal(null);
  await whenIdle();
  assert.equal((await bottle(id))?.fields['covered'], true);
  await closePour();
});

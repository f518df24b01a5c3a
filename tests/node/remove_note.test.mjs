// Deleting covered glasses gives their bottle its label back.
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import * as notes from '../../static/domain/blind/remove_note.js';
import { journalKey } from '../../static/store/database_name.js';
import { bottle, tasting } from '../../static/store/queries.js';
import { save, saveMany } from '../../static/store/write.js';
import { emptyBook, someId } from './support.mjs';

beforeEach(emptyBook);

const shown = async (/** @type {string} */ id) => /** @type {any} */ (await tasting(id));
const removeNote = async (/** @type {string} */ id) => notes.removeNote(await shown(id));
const restoreNote = async (/** @type {string} */ id) => notes.restoreNote(await shown(id));

const [WINE, ONE, TWO, OPEN] = [someId(), someId(), someId(), someId()];
const isCovered = async () => (await bottle(WINE))?.fields['covered'] === true;

/** A wine in two covered glasses, and an earlier note of it. */
const pour = () =>
  saveMany([
    { kind: 'bottle', id: WINE, fields: { name: 'Quiet Ledge', covered: true } },
    ...[ONE, TWO].map((id) => ({
      kind: /** @type {const} */ ('tasting'),
      id,
      fields: { bottle: WINE, label_hidden: true },
    })),
    { kind: 'tasting', id: OPEN, fields: { bottle: WINE } },
  ]);

test('a bottle is covered as long as one of its glasses is', async () => {
  await pour();
  await removeNote(ONE);
  assert.equal(await isCovered(), true);
  await removeNote(TWO);
  assert.equal(await isCovered(), false);
  await restoreNote(TWO);
  assert.equal(await isCovered(), true);
  assert.equal((await tasting(TWO))?.gone, 0);
});

test('a note without a hidden label leaves its bottle alone', async () => {
  await pour();
  await removeNote(OPEN);
  assert.equal(await isCovered(), true);
  await save('bottle', WINE, { covered: false });
  await save('tasting', ONE, { uncovered_at: '2026-11-28T19:00:00+01:00' });
  await removeNote(ONE);
  await restoreNote(ONE);
  assert.equal(await isCovered(), false);
  assert.equal((await tasting(OPEN))?.gone, 1);
});

test('deleting an open note waits for no read', async () => {
  await pour();
  const row = await shown(OPEN);
  const done = notes.removeNote(row);
  await Promise.resolve();
  dispatchEvent(new Event('pagehide'));
  const [key] = Object.keys(localStorage).filter((name) => name.startsWith(journalKey));
  assert.deepEqual(JSON.parse(localStorage[String(key)]), [{ kind: 'tasting', id: OPEN, deleted: true }]);
  await done;
});

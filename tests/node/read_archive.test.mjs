// What the phone reads of a copy before it adds it, and what it says after; the store has the notes.
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import './english.mjs';
import { zipSync, strToU8 } from '../../static/vendor/fflate.js';
import { AccountError } from '../../static/account/api.js';
import { previewArchive } from '../../static/archive/read_archive.js';
import { writeArchive } from '../../static/archive/write_archive.js';
import { doneText, importErrorText } from '../../static/features/settings/import_text.js';
import { newId, remove, save } from '../../static/store/write.js';
import { emptyBook } from './support.mjs';

const ID = '01900000-0000-7000-8000-0000000000aa';
const PIECE = 20_000;
const PHOTO = Uint8Array.from({ length: 3 * PIECE }, (_, at) => (at * 31 + (at >> 7)) % 251);
const HEAD = JSON.stringify({ format: 1, owner_name: 'Ada', made_at: '2026-11-30T10:00:00+00:00' });

beforeEach(() => emptyBook());

/** @param {Record<string, unknown>} fields */
const line = (fields) => JSON.stringify({ id: ID, fields, clocks: {} });
const TEXTS = {
  'book.json': HEAD,
  'bottle.jsonl': line({ name: 'Colle Rosso' }),
  'tasting.jsonl': line({ bottle: ID, tasted_at: '2024-05-02T18:00:00Z' }),
  'photo.jsonl': line({ tasting: ID }),
};

/** @param {Record<string, string | Uint8Array>} files @param {any} [options] @returns {Uint8Array<ArrayBuffer>} */
function zip(files, options = {}) {
  const content = Object.entries(files).map(([name, text]) => [name, typeof text === 'string' ? strToU8(text) : text]);
  return /** @type {any} */ (zipSync(Object.fromEntries(content), options));
}

/** Read a file as a phone does: piece by piece. @param {Uint8Array<ArrayBuffer>} bytes */
function preview(bytes) {
  const count = Math.ceil(bytes.length / PIECE);
  return previewArchive(new Blob(Array.from({ length: count }, (_, at) => bytes.slice(at * PIECE, (at + 1) * PIECE))));
}

/** @param {Uint8Array<ArrayBuffer>} bytes @param {string} code */
const isRefused = (bytes, code) => assert.rejects(preview(bytes), { name: 'ArchiveError', code });

test('a copy is read in any order of its entries', async () => {
  const names = [`photos/${ID}.jpg`, ...Object.keys(TEXTS)];
  for (const order of [names, [...names].reverse(), [...names].sort()]) {
    const files = Object.fromEntries(order.map((name) => [name, /** @type {any} */ (TEXTS)[name] ?? PHOTO]));
    for (const level of [0, 6]) {
      const { owner, added, photos } = await preview(zip(files, { level }));
      assert.deepEqual([owner, added.length, added[0]?.bottle['name'], photos], ['Ada', 1, 'Colle Rosso', 1]);
    }
  }
});

test('a copy packed again by a file manager is read', async () => {
  const { added } = await preview(zip({ '__MACOSX/._book.json': 'x', 'photos/.DS_Store': 'x', ...TEXTS }));
  assert.equal(added.length, 1);
});

test('a copy packed again with its folder is read', async () => {
  const inside = Object.fromEntries(Object.entries(TEXTS).map(([name, text]) => [`second-nose/${name}`, text]));
  const { added, photos } = await preview(zip({ '__MACOSX/second-nose/._book.json': '', ...inside }));
  assert.deepEqual([added.map(({ bottle }) => bottle['name']), photos], [['Colle Rosso'], 1]);
});

test('an empty list in a copy is no damage', async () => {
  assert.deepEqual((await preview(zip({ ...TEXTS, 'tasting.jsonl': '' }))).added, []);
});

test('a copy of this phone is all known to it', async () => {
  await save('tasting', newId(), { words: 'plum' });
  const { known, added } = await previewArchive((await writeArchive()).file);
  assert.deepEqual([known.length, added.length], [1, 0]);
});

test('a copy without its end or a part is damaged', async () => {
  const whole = zip({ [`photos/${ID}.jpg`]: PHOTO, ...TEXTS });
  for (const length of [whole.length - 30, whole.length >> 1, 100]) await isRefused(whole.slice(0, length), 'damaged');
  const header = whole.findLastIndex((_, at) => String.fromCharCode(...whole.slice(at, at + 4)) === 'PK\x03\x04');
  for (const from of [header, header + 60]) await isRefused(whole.slice().fill(0, from, from + 40), 'damaged');
});

test('a copy with files of a later version is refused as such', async () => {
  await isRefused(zip({ ...TEXTS, 'cellar.jsonl': line({}) }), 'other_format');
  await isRefused(zip({ ...TEXTS, 'notes.txt': 'plum' }), 'damaged');
  const inside = Object.fromEntries(Object.entries(TEXTS).map(([name, text]) => [`second-nose/${name}`, text]));
  await isRefused(zip({ ...inside, 'bottle.jsonl': TEXTS['bottle.jsonl'] }), 'other_format');
});

test('a copy with a record twice is damaged, not two notes', async () => {
  await isRefused(
    zip({ ...TEXTS, 'tasting.jsonl': `${TEXTS['tasting.jsonl']}\n${TEXTS['tasting.jsonl']}` }),
    'damaged',
  );
});

test('a copy without records and photos has nothing to add', async () => {
  await isRefused(zip({ 'book.json': HEAD, 'tastings.csv': 'id', 'tasting.jsonl': '' }), 'empty');
  await assert.doesNotReject(preview(zip({ 'book.json': HEAD, 'pick.jsonl': line({}) })));
});

test('another file is no copy', async () => {
  await isRefused(strToU8('plums '.repeat(1000)), 'not_archive');
  await isRefused(new Uint8Array(), 'not_archive');
  await isRefused(zip({ 'notes.txt': 'plum' }), 'not_archive');
  await isRefused(zip({ ...TEXTS, 'book.json': 'plum' }), 'not_archive');
  await isRefused(zip({ ...TEXTS, 'book.json': '{"format": 2}' }), 'other_format');
});

test('a copy of deleted notes says that they stay so', async () => {
  const tasting = await save('tasting', newId(), { words: 'plum' });
  const { file } = await writeArchive();
  const nothing = { records: 0, revisions: 0, photos: 0 };
  assert.match(doneText(await previewArchive(file), nothing), /^Nothing to add: all of this copy is here already/);
  await remove('tasting', tasting);
  const seen = await previewArchive(file);
  assert.deepEqual([seen.known.length, seen.removed.length, seen.added.length], [0, 1, 0]);
  assert.match(doneText(seen, nothing), /^Nothing was added\. 1 note from this copy was deleted here, and stays/);
  assert.equal(doneText(seen, { ...nothing, records: 1 }), 'Done: 1 item added or updated.');
});

test('a lost connection says to add the copy again', () => {
  assert.match(importErrorText(new AccountError('no_network')), /add the same copy again; nothing is added twice/);
  assert.match(importErrorText(new AccountError('import_busy')), /Another copy is being added/);
  assert.throws(() => importErrorText(new TypeError('x')), TypeError);
});

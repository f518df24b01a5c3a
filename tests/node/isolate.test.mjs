// Names that are written from right to left keep their place in a sentence (static/lib/isolate.js).
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { t } from '../../static/i18n.js';
import { list } from '../../static/lib/format.js';
import { isolated } from '../../static/lib/isolate.js';

test('a name from right to left is isolated', () => {
  for (const name of ['שרה', 'محمد', 'Sara שרה', 'ﷺ']) assert.equal(isolated(name), `\u2068${name}\u2069`);
  for (const name of ['', 'Zoë', '李小龍', 'Ιωάννα', '7']) assert.equal(isolated(name), name);
});

test('sentences and lists isolate names', () => {
  assert.equal(list(['Ada', 'שרה', 'Ben']), 'Ada, \u2068שרה\u2069 and Ben');
  assert.equal(t('shelf.added', { name: 'שרה' }), '\u2068שרה\u2069 was added.');
  assert.equal(t('shelf.added', { name: 'Ada' }), 'Ada was added.');
});

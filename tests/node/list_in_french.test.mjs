// What a list in French keeps as a comment is written as French writes it.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import test from 'node:test';
import './english.mjs';
import { loadMessages, setLanguage } from '../../static/i18n.js';
import { readList } from '../../static/features/shelf/import/read_list.js';

const WORDS = new URL('../../static/words/fr/', import.meta.url);
const read = (/** @type {string} */ name) => JSON.parse(readFileSync(new URL(name, WORDS), 'utf8'));
globalThis.fetch = async () => Response.json(Object.assign({}, ...readdirSync(WORDS).map(read)));
Object.defineProperty(globalThis, 'document', { value: { documentElement: {} } });
setLanguage('fr');
await loadMessages();

test('a comment in French has a space before its colon', () => {
  const usual = { currency: null, shop: null, label_market: null };
  const [row] = readList('Nom;Stock;Prix\nFixin;12 caisses;sur demande', {}, usual).valid;
  assert.equal(row?.pick['words'], 'Stock\u202f: 12 caisses\nPrix\u202f: sur demande');
});

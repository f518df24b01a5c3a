// Grapes are written as each language does: "Pinot Noir" in English, "Pinot noir" in French.
import assert from 'node:assert/strict';
import test from 'node:test';
import { speltGrape } from '../../static/domain/grape_spelling.js';
import { grapesOf, styleOf, stylesById } from '../../static/domain/style_names.js';
import { judgedLabel } from '../../static/domain/table/truth.js';
import { setLanguage } from '../../static/i18n.js';

Object.defineProperty(navigator, 'languages', { value: [] });
Object.defineProperty(globalThis, 'document', { value: { documentElement: {} } });

test('English writes each word of a grape with a capital', () => {
  const all = new Set([...stylesById.values()].flatMap(grapesOf));
  for (const name of [
    'Pinot Noir',
    'Cabernet Sauvignon',
    'Melon de Bourgogne',
    'Muscat à Petits Grains',
    "Nero d'Avola",
  ])
    assert.ok(all.has(name), name);
  const small = [...all].flatMap((name) => name.split(' ').filter((word) => /^\p{Ll}/u.test(word)));
  assert.deepEqual(new Set(small), new Set(['de', 'of', 'à', "d'Avola"]));
  assert.equal(judgedLabel({ style: 'wht_chenin_sa' })['grapes'], 'Chenin Blanc');
  assert.deepEqual(grapesOf(null), []);
});

test('a noted grape is spelt as that of a style', () => {
  assert.deepEqual(['pinot noir', 'Muscat of alexandria', 'Tribidrag'].map(speltGrape), [
    'Pinot Noir',
    'Muscat of Alexandria',
    'Tribidrag',
  ]);
});

test('French and Italian keep the small letters of a grape', () => {
  for (const language of ['fr', 'it']) {
    setLanguage(language);
    assert.deepEqual(grapesOf(styleOf('red_cab_nw')), ['Cabernet sauvignon']);
    assert.deepEqual(grapesOf(styleOf('red_pinot_nw')), ['Pinot noir']);
  }
  setLanguage('en');
});

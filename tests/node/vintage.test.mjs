// A vintage as typed: a year, or a word for none.
import assert from 'node:assert/strict';
import test from 'node:test';
import { fullYear, readVintage, vintageProblem } from '../../static/rules/label/vintage.js';
import { Vintages, yearsNote } from '../../static/features/book/bottle/vintages.js';
import { t } from '../../static/i18n.js';
import './english.mjs';

test('a year within the record is read', () => {
  assert.deepEqual(readVintage(' 2018 '), { vintage: 2018, non_vintage: null });
  assert.deepEqual(readVintage('1800'), { vintage: 1800, non_vintage: null });
  assert.deepEqual(readVintage('2100'), { vintage: 2100, non_vintage: null });
});

test('the words for no vintage are read in three languages', () => {
  const abbreviated = ['NV', 'nv', 'N.V.', 'NM', 'N.M.', 'MV', 'SA', 's.a.', 'S. A.'];
  const full = ['non-vintage', 'Non vintage', 'non millésimé', 'sans année', 'Sans annee', 'senza annata'];
  for (const written of [...abbreviated, ...full])
    assert.deepEqual(readVintage(written), { vintage: null, non_vintage: true }, written);
});

test('an empty field says nothing and other words are not read', () => {
  assert.deepEqual(readVintage('  '), { vintage: null, non_vintage: null });
  for (const written of ['old', '201', '20188', '1799', '2101', '18.5', '1.9e3', 'sa va'])
    assert.equal(readVintage(written), null, written);
});

test('two digits are the latest year that has begun', () => {
  const full = (/** @type {string} */ typed) => fullYear(typed, new Date(2026, 11, 31));
  assert.deepEqual(['19', '26', '27', '98', '00'].map(full), ['2019', '2026', '1927', '1998', '2000']);
  for (const typed of ['', '1', '201', '1998', 'NV']) assert.equal(full(typed), typed);
});

test('a year to come is said where it is typed, and kept', () => {
  const problem = (/** @type {string} */ text) => vintageProblem(text, new Date(2026, 11, 31));
  assert.equal(t(`vintage.${problem('2031')}`, { year: '2031' }), '2031 hasn’t come yet. Check the year.');
  assert.deepEqual(['2027', ' 2100 '].map(problem), ['ahead', 'ahead']);
  assert.deepEqual(['2026', '1998', 'NV', '', '203', 's.'].map(problem), [null, null, null, null, null, null]);
  assert.deepEqual(['20311', 'old'].map(problem), ['wrong', 'wrong']);
  assert.deepEqual(readVintage('2031'), { vintage: 2031, non_vintage: null });
});

test('ratings of one year name it once', () => {
  const at = (/** @type {string} */ day) => Date.parse(`${day}T12:00:00`);
  assert.match(yearsNote(at('2026-01-05'), at('2026-11-20')), /^Ratings from 2026\. /);
  assert.match(yearsNote(at('2024-01-05'), at('2026-11-20')), /^Ratings from 2024 to 2026\. /);
});

test('the chart of a wine needs two dated ratings', () => {
  const entry = (liking, at) => /** @type {any} */ ({ liking, at, about: {} });
  const rated = entry(7, '2026-11-28T20:00:00Z');
  for (const entries of [[], [rated], [rated, entry(null, rated.at)], [rated, entry(5, '')]])
    assert.equal(Vintages({ entries }), null);
});

// The wine poured twice: who answered alike, and who found it.
import assert from 'node:assert/strict';
import test from 'node:test';
import { tableSummary } from '../../static/rules/table/table_summary.js';
import { LETTERS, tableOf } from './summary_table.mjs';

test('the hidden duplicate shows who is steady and who found it', () => {
  const named = { ada: ['C', 'A'], ben: ['A', 'C'], cleo: ['A', 'B'] };
  const table = tableOf(
    { ada: [7, 2, 7], ben: [8, 3, 7], cleo: [2, 5, 8] },
    { same: ['A', 'C'], fields: (guest, glass) => (named[guest][0] === glass ? { same_as: named[guest][1] } : {}) },
  );
  const { duplicate } = tableSummary(table);
  assert.deepEqual(duplicate.glasses, ['A', 'C']);
  assert.deepEqual([duplicate.found, duplicate.missed], [['ada', 'ben'], ['cleo']]);
  // Three glasses: two of three triangles right, 7 in 27 by guessing.
  assert.ok(Math.abs(duplicate.chance - 1 / 3) < 1e-15);
  assert.ok(Math.abs(duplicate.test.p - 7 / 27) < 1e-12);
  assert.deepEqual(
    duplicate.guests.map(({ reading, likings }) => [reading, likings]),
    [
      ['too_few', [7, 7]],
      ['too_few', [8, 7]],
      ['too_few', [2, 8]],
    ],
  );
});

test('three glasses are enough for steadiness on several scales', () => {
  const acidity = { ada: [3, 7, 3], ben: [3, 5, 7] };
  const fields = (guest, glass) => ({ acidity: acidity[guest][LETTERS.indexOf(glass)], body: glass === 'B' ? 8 : 4 });
  const table = tableOf({ ada: [6, 3, 7], ben: [4, 5, null] }, { same: ['A', 'C'], fields });
  assert.deepEqual(
    tableSummary(table).duplicate.guests.map(({ guest, reading, likings }) => [guest, reading, likings]),
    [
      ['ada', 'steady', [6, 7]],
      ['ben', 'too_few', null],
    ],
  );
});

test('a guest is steady against the spread over the other glasses', () => {
  const table = tableOf({ ada: [7, 2, 7, 4], ben: [8, 5, 2, 5] }, { same: ['A', 'C'] });
  const { guests, test: found } = tableSummary(table).duplicate;
  assert.deepEqual(
    guests.map(({ guest, reading }) => [guest, reading]),
    [
      ['ada', 'steady'],
      ['ben', 'unsteady'],
    ],
  );
  assert.equal(found.reading, 'nothing_tried');
});

// A flat map may put somebody nearer than who is closest.
import assert from 'node:assert/strict';
import test from 'node:test';
import { isMisleading } from '../../static/domain/table/flat_map.js';

const LAYOUT = [
  { guest: 'Ada', x: 0, y: 0 },
  { guest: 'Ben', x: 1, y: 0 },
  { guest: 'Cleo', x: 0, y: 2 },
];

/** @param {[string, string | null][]} pairs */
const closest = (...pairs) => pairs.map(([guest, closest]) => ({ guest, closest, distance: 1 }));

/** @param {[string, string | null][]} pairs @returns {boolean} */
const misleads = (...pairs) => isMisleading(/** @type {any} */ ({ layout: LAYOUT, closest: closest(...pairs) }));

test('a map that draws the closest nearest says nothing', () => {
  assert.equal(misleads(['Ada', 'Ben'], ['Ben', 'Ada'], ['Cleo', 'Ada']), false);
});

test('a map that draws somebody else nearer says so', () => {
  assert.equal(misleads(['Ada', 'Cleo'], ['Ben', 'Ada'], ['Cleo', 'Ada']), true);
});

test('equal distances do not mislead', () => {
  const layout = [...LAYOUT, { guest: 'Dan', x: 1 - 1e-15, y: 0 }];
  assert.equal(isMisleading(/** @type {any} */ ({ layout, closest: closest(['Ada', 'Ben']) })), false);
});

test('who has nobody close is not misplaced', () => {
  assert.equal(misleads(['Ada', 'Ben'], ['Ben', 'Ada'], ['Cleo', null]), false);
});

// The months of a year that the Book looks back on.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { monthsOf } from '../../static/features/book/statistics/statistics.js';

test('a year begins with its first month that has notes', () => {
  const entries = /** @type {any[]} */ (
    ['2026-10-03T20:00', '2026-10-03T21:00', '2025-02-01T20:00'].map((at) => ({ at }))
  );
  assert.deepEqual(
    monthsOf(entries, '2026').map(({ month, count }) => [month, count]),
    [
      ['2026-10', 2],
      ['2026-11', 0],
      ['2026-12', 0],
    ],
  );
  assert.deepEqual(monthsOf(entries, '2024'), []);
});

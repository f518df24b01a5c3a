// Lines of the list of tastings: months between the rows, and where each line begins.
import './environment.mjs';
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { listRows } from '../../static/domain/list_rows.js';

Object.defineProperty(navigator, 'languages', { value: ['en-GB'] });
const MONTH_REM = 2.75;
const ROW_REM = 5.25;

/** @param {string[]} moments newest first */
function entriesAt(moments) {
  const about = { name: 'Wine', line: '' };
  return moments.map((at, n) => ({ id: `id-${n}`, at, liking: 5, fault: '', example: false, about }));
}

/** @param {string[]} moments */
function keysAndTops(moments) {
  const lines = listRows(entriesAt(moments));
  const at = Array.from({ length: lines.count }, (_, index) => index);
  return { keys: at.map((index) => lines.line(index).key), tops: [...at, lines.count].map(lines.top) };
}

test('a month stands before its first tasting', () => {
  const { keys, tops } = keysAndTops(['2026-10-30', '2026-10-02', '2026-08-31', '2025-08-31', '', '']);
  assert.deepEqual(keys, [
    'month-2026-10',
    'id-0',
    'id-1',
    'month-2026-08',
    'id-2',
    'month-2025-08',
    'id-3',
    'month-',
    'id-4',
    'id-5',
  ]);
  const heights = keys.map((key) => (key.startsWith('month') ? MONTH_REM : ROW_REM));
  assert.deepEqual(
    tops,
    [0, ...heights].map((_, index) => heights.slice(0, index).reduce((sum, height) => sum + height, 0)),
  );
});

test('an empty list has no lines', () => {
  assert.deepEqual(keysAndTops([]), { keys: [], tops: [0] });
});

test('a long list has each month once', () => {
  const moments = Array.from({ length: 3000 }, (_, n) =>
    new Date(Date.UTC(2026, 0, 1) - n * 11 * 3_600_000).toISOString(),
  );
  const { keys } = keysAndTops(moments);
  const months = [...new Set(moments.map((at) => `month-${at.slice(0, 7)}`))];
  assert.deepEqual(
    keys.filter((key) => key.startsWith('month')),
    months,
  );
  for (const [n, at] of moments.entries()) {
    const line = keys.indexOf(`id-${n}`);
    assert.equal(
      keys.slice(0, line).findLast((key) => key.startsWith('month')),
      `month-${at.slice(0, 7)}`,
    );
  }
});

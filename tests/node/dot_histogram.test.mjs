// Histogram of the shelf: a bar stands on its value.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { binCounts } from '../../static/components/chart/dot_histogram.js';

test('each bin is centred on its value', () => {
  const counts = binCounts([10, 13.3, 13.5, 13.7, 16, 18], { min: 10, max: 16, step: 0.5 });
  assert.equal(counts.length, 13);
  assert.deepEqual([counts[0], counts[6], counts[7], counts[12]], [1, 0, 3, 2]);
});

import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { abvRangeText } from '../../static/domain/label_range_text.js';

test('a range of alcohol names only the ends that limit it', () => {
  assert.equal(abvRangeText(null, 12), 'up to 12%');
  assert.equal(abvRangeText(12.5, null), '12.5% and up');
  assert.equal(abvRangeText(5, 12), '5% to 12%');
  assert.equal(abvRangeText(null, null), 'any');
});

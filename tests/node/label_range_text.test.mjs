import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { abvRangeText, isAssumed, ruleText } from '../../static/domain/label_range_text.js';
import { toleranceRange } from '../../static/rules/label/alcohol_range.js';

/** @param {string | null} label_market @param {number | null} [label_abv] */
const rangeIn = (label_market, label_abv = 12.5) => toleranceRange({ label_abv, label_market }, '2026-11-28');

test('a range of alcohol names only the ends that limit it', () => {
  assert.equal(abvRangeText(null, 12), 'up to 12%');
  assert.equal(abvRangeText(12.5, null), '12.5% and up');
  assert.equal(abvRangeText(5, 12), '5% to 12%');
  assert.equal(abvRangeText(null, null), 'any');
});

test('a margin that no law sets is an assumption', () => {
  assert.ok(['EU', 'US', 'ZA'].every((market) => !isAssumed(rangeIn(market))));
  assert.ok([null, 'CA', 'CL', 'other'].every((market) => isAssumed(rangeIn(market))));
  assert.equal(isAssumed(rangeIn(null, null)), false);
});

test('an unnoted country is not a country without a rule', () => {
  assert.match(ruleText(rangeIn(null)), /^The country of sale isn’t noted, so we allow plus or minus 1\.5%/);
  assert.match(ruleText(rangeIn('CL')), /^We know of no rule for this country/);
});

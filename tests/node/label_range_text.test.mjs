import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { abvRangeText, isAssumed, isByLaw, ruleText } from '../../static/domain/label_range_text.js';
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

test('a range that rests on a guess is not said to be the law', () => {
  const known = { label_abv: 14.5, label_market: 'EU', kind: 'still' };
  assert.ok(isByLaw(toleranceRange(known, '2026-11-28')));
  const guessed = toleranceRange({ ...known, vintage: 2022 }, '2026-11-28');
  assert.deepEqual(guessed.assumed, ['protected_origin', 'bottle_years']);
  assert.equal(isByLaw(guessed), false);
  assert.equal(isByLaw(rangeIn('CL')), false);
});

test('an unnoted country is not a country without a rule', () => {
  assert.match(ruleText(rangeIn(null)), /^The country of sale isn’t noted, so we allow plus or minus 1\.5%/);
  assert.match(ruleText(rangeIn('CL')), /^We know of no rule for this country/);
});

test('a vermouth is said to come under no rule for wine', () => {
  const range = toleranceRange({ name: 'Vermouth', label_abv: 14.4, label_market: 'EU' }, '2026-11-28');
  assert.deepEqual(range.errors, []);
  assert.match(ruleText(range), /^The rules for wine labels don’t cover vermouth.*1169\/2011/);
  assert.ok(isAssumed(range));
});

// Sugar and acidity exactly on the bounds of a scale, or outside the possible range.
import assert from 'node:assert/strict';
import test from 'node:test';
import { sweetnessAgrees, sweetnessScale, sweetnessTerms } from '../../static/rules/label/sweetness.js';

/** @param {() => unknown} work @param {string} code @param {string} field */
function refuses(work, code, field) {
  assert.throws(work, (error) => error.name === 'RuleError' && error.code === code && error.field === field);
}

test('a market that is no text has no scale', () => {
  assert.equal(sweetnessScale('still', ['EU'], null), null);
});

test('sparkling wine has a scale in Europe only', () => {
  assert.equal(sweetnessScale('sparkling', 'ZA', null), null);
  assert.equal(sweetnessScale('sparkling', 'GB', null), 'eu_sparkling');
});

test('sweet wine follows the scale of still wine', () => {
  assert.equal(sweetnessScale('sweet', 'EU', null), 'eu_still');
  assert.equal(sweetnessScale('fortified', 'EU', null), null);
});

test('a vintage has four digits', () => {
  assert.equal(sweetnessScale('sparkling', 'EU', 1000), 'eu_sparkling_before_2009');
  assert.equal(sweetnessScale('sparkling', 'EU', 9999), 'eu_sparkling');
  refuses(() => sweetnessScale('sparkling', 'EU', 999), 'too_low', 'vintage');
  refuses(() => sweetnessScale('sparkling', 'EU', 10_000), 'too_high', 'vintage');
});

test('sugar and acidity have their bounds', () => {
  refuses(() => sweetnessTerms('port', 1_000.5), 'too_high', 'sugar_gl');
  refuses(() => sweetnessTerms('port', -0.5), 'too_low', 'sugar_gl');
  assert.ok(sweetnessTerms('port', 1_000));
  refuses(() => sweetnessTerms('port', 20, 100.5), 'too_high', 'acidity_gl');
  refuses(() => sweetnessTerms('port', 20, -0.5), 'too_low', 'acidity_gl');
});

test('acidity lifts the limit by the hundredth', () => {
  assert.deepEqual(sweetnessTerms('eu_still', 7, 5).terms, ['dry']);
  assert.deepEqual(sweetnessTerms('eu_still', 7.01, 5).terms, ['medium_dry']);
});

test('a word may be near where the acidity is not known', () => {
  assert.equal(sweetnessAgrees('eu_still', 'dry', 9.5), 'within_tolerance');
  assert.equal(sweetnessAgrees('eu_still', 'dry', 9), 'may_agree');
  assert.equal(sweetnessAgrees('eu_still', 'dry', 10.01), 'disagrees');
});

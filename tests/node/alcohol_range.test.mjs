// Labels exactly on a legal limit, or without some of the values that a rule needs.
import assert from 'node:assert/strict';
import test from 'node:test';
import { freezingPointC, solveMixture, mixtureDensity } from '../../static/rules/label/alcoholometry.js';
import { rangePosition, toleranceRange } from '../../static/rules/label/alcohol_range.js';
import { legalMarket } from '../../static/rules/label/alcohol_rule.js';

const TODAY = '2026-11-25';

/** @param {any} bottle @param {string} [today] @param {any} [reading] */
const meant = (bottle, today = TODAY, reading = null) => toleranceRange(bottle, today, reading);
const ends = ({ low, high, low_exclusive }) => [low, high, low_exclusive];

/** @param {() => unknown} work @param {string} code @param {string} field */
function refuses(work, code, field) {
  assert.throws(work, (error) => error.name === 'RuleError' && error.code === code && error.field === field);
}

test('a number that is none is refused by its field', () => {
  for (const field of ['label_abv', 'label_abv_low', 'label_abv_high', 'bottle_years', 'vintage']) {
    refuses(
      () => meant({ label_market: 'FR', label_abv: 13, protected_origin: true, [field]: 'x' }),
      'not_number',
      field,
    );
  }
  for (const end of ['low', 'high'])
    refuses(() => rangePosition(meant({ label_abv: 13 }), { [end]: 'x' }), 'not_number', end);
  refuses(() => meant({}, TODAY, 'narrow'), 'unknown_reading', 'reading');
});

test('one end of a range alone is incomplete', () => {
  for (const end of ['label_abv_low', 'label_abv_high']) {
    const { known, errors } = meant({ [end]: 13 });
    assert.deepEqual([known, errors], [false, ['range_incomplete']]);
  }
  assert.deepEqual(meant({}).errors, []);
});

test('a printed range has its tolerance outside America', () => {
  const told = { label_market: 'FR', label_abv_low: 12, label_abv_high: 13 };
  const found = meant({ ...told, kind: 'still' });
  assert.deepEqual([found.rule, ends(found), found.assumed], ['eu_wine', [1150, 1350, false], ['printed_range']]);
  assert.deepEqual(meant(told).assumed, ['kind', 'printed_range']);
  assert.deepEqual(ends(meant({ ...told, label_abv_low: 0.2 })), [0, 1350, false]);
});

test('a type word stands for strengths in America only', () => {
  const told = { label_words: ['table_wine'] };
  assert.deepEqual(ends(meant({ ...told, label_market: 'US' })), [700, 1400, false]);
  assert.deepEqual(ends(meant({ ...told, label_market: 'FR' })), [null, null, false]);
});

test('a label known by half may stray', () => {
  for (const half of [{ low: 1200 }, { high: 1200 }]) {
    assert.equal(rangePosition({ ...meant({}), ...half }, { low: 10, high: 11 }), 'may_stray');
    assert.equal(rangePosition({ ...meant({}), ...half }, { low: 13, high: 14 }), 'may_stray');
  }
});

test('a market that is no text is none', () => {
  for (const code of [5, ['US'], null, true]) assert.equal(legalMarket(code), null);
});

test('a kind is assumed only where the law asks for it', () => {
  assert.deepEqual(meant({ label_market: 'US', label_abv: 13 }).assumed, []);
  assert.deepEqual(meant({ label_market: 'AU', label_abv: 13 }).assumed, ['kind']);
});

test('kept wine needs a protected origin in the union only', () => {
  for (const [label_market, protected_origin, rule, assumed] of [
    ['FR', true, 'eu_long_kept', ['bottle_years']],
    ['FR', null, 'eu_long_kept', ['protected_origin', 'bottle_years']],
    ['FR', undefined, 'eu_long_kept', ['protected_origin', 'bottle_years']],
    ['FR', false, 'eu_wine', []],
    ['OIV', false, 'oiv_long_kept', ['bottle_years']],
    ['OIV', null, 'oiv_long_kept', ['bottle_years']],
  ]) {
    const found = meant({ label_market, label_abv: 13, kind: 'still', vintage: 2015, protected_origin });
    assert.deepEqual([found.rule, found.assumed], [rule, assumed]);
  }
});

test('a wine is long kept from the day after three years', () => {
  const told = { label_market: 'OIV', label_abv: 13, vintage: 2022 };
  assert.equal(meant(told, '2026-01-01').rule, 'oiv_wine');
  assert.equal(meant(told, '2026-01-02').rule, 'oiv_long_kept');
  assert.equal(meant({ ...told, vintage: 2022.5 }, '2026-01-02').rule, 'oiv_long_kept');
  assert.equal(meant({ ...told, vintage: 900 }).rule, 'oiv_long_kept');
});

test('a type word holds up to fourteen and no further', () => {
  const told = { label_market: 'US', label_words: ['table_wine'] };
  for (const [label_abv, errors] of [
    [14, []],
    [14.1, ['above_type']],
    [7, []],
    [6.9, ['below_type']],
  ]) {
    assert.deepEqual(meant({ ...told, label_abv }).errors, errors);
  }
  assert.deepEqual(ends(meant({ ...told, label_abv: 7.5 })), [700, 900, false]);
});

test('an end on a tax edge is left out', () => {
  const told = { label_market: 'US', kind: 'still' };
  for (const [label_abv, found] of [
    [17, [1600, 1800, true]],
    [17.1, [1610, 1810, false]],
    [15.5, [1450, 1600, false]],
    [16, [1500, 1600, false]],
  ])
    assert.deepEqual(ends(meant({ ...told, label_abv })), found);
  assert.deepEqual(ends(meant({ ...told, label_abv: 15.5 }, TODAY, 'strict14')), [1450, 1600, false]);
});

test('sparkling wine and other markets have no tax edges', () => {
  for (const kind of ['sparkling', 'semi_sparkling']) {
    assert.deepEqual(ends(meant({ label_market: 'US', kind, label_abv: 16.3 })), [1530, 1730, false]);
  }
  assert.deepEqual(ends(meant({ label_market: 'AU', kind: 'still', label_abv: 17 })), [1550, 1850, false]);
});

test('a mixture has the strength that was asked for', () => {
  for (const abv of [0.5, 13, 40, 99]) {
    const { mass_percent, kg_m3 } = solveMixture(abv);
    assert.ok(Math.abs((mass_percent * kg_m3) / mixtureDensity(100) - abv) < 1e-10);
  }
  refuses(() => mixtureDensity(100.5), 'too_high', 'mass_percent');
  refuses(() => solveMixture(100.5), 'too_high', 'abv');
  refuses(() => freezingPointC(-0.5), 'too_low', 'abv');
});

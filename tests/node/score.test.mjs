// The normal distribution function behind the chances; values from Python's math.erfc, which is correct to some 1e-15.
import assert from 'node:assert/strict';
import test from 'node:test';
import { informationGain } from '../../static/rules/palate/information_gain.js';
import { FIXED_POINT, normalCdf, scoreBottle } from '../../static/rules/palate/score.js';
import { taster as anyTaster } from './shelf_records.mjs';

const KNOWN = [
  [-8, 6.220960574271819e-16],
  [-5, 2.866515718791946e-7],
  [-3.5, 0.00023262907903552504],
  [-3, 0.0013498980316300957],
  [-2.999, 0.0013543365337271066],
  [-1, 0.15865525393145707],
  [0, 0.5],
  [1, 0.8413447460685429],
  [1.96, 0.9750021048517795],
  [2.999, 0.9986456634662729],
  [3, 0.9986501019683699],
  [3.5, 0.9997673709209645],
  [5, 0.9999997133484281],
];

test('the normal distribution function agrees with erfc', () => {
  for (const [x, wanted] of KNOWN) {
    const relative = Math.abs(normalCdf(x) - wanted) / wanted;
    assert.ok(relative < 1e-12, `${x}: ${normalCdf(x)} is not ${wanted}`);
  }
});

test('the tails of the normal distribution function add up to one', () => {
  for (const x of [0.5, 2.9, 3, 3.1, 4, 6]) assert.ok(Math.abs(normalCdf(x) + normalCdf(-x) - 1) < 1e-15, String(x));
});

/** A taster of known scales. @param {Parameters<typeof anyTaster>[0]} [given] */
const taster = (given) => anyTaster({ ...given, noise: 0 });

test('an expected liking stays on the nine-point line', () => {
  assert.equal(scoreBottle(taster({ intercept: 12 }), { style: 'plain' }).mean, 9);
  assert.equal(scoreBottle(taster({ intercept: -3 }), { style: 'plain' }).mean, 1);
  assert.equal(scoreBottle(taster({ intercept: 9.5 }), { style: 'plain' }).mean, 9);
});

test('a label is read at most ten deviations from the usual', () => {
  const { mean } = scoreBottle(taster({ slope: 0.1 }), { style: 'plain', label_abv: 500 });
  assert.ok(Math.abs(mean - 6) < 1e-9, String(mean));
  const lower = scoreBottle(taster({ slope: 0.1 }), { style: 'plain', label_abv: -500 });
  assert.ok(Math.abs(lower.mean - 4) < 1e-9, String(lower.mean));
});

test('a style that no profile has is no style', () => {
  const unknown = scoreBottle(taster(), { style: 'constructor' });
  assert.deepEqual(unknown, scoreBottle(taster(), {}));
});

test('reasons stop at a twentieth of a point', () => {
  assert.deepEqual(scoreBottle(taster({ slope: 0.049 }), { style: 'plain', label_abv: 6 }).reasons, []);
  const [reason] = scoreBottle(taster({ slope: 0.051 }), { style: 'plain', label_abv: 6 }).reasons;
  assert.deepEqual(
    { what: reason.what, name: reason.name, level: reason.level, direction: reason.direction },
    {
      what: 'alcohol',
      name: 'body',
      level: 'high',
      direction: 'raises',
    },
  );
});

test('a body of exactly half a deviation is high', () => {
  const levelOf = (/** @type {number} */ abv) =>
    scoreBottle(taster({ slope: 0.2 }), { style: 'plain', label_abv: abv }).reasons[0]?.level;
  assert.deepEqual([levelOf(5.5), levelOf(5.49), levelOf(4.5), levelOf(4)], ['high', 'usual', 'low', 'low']);
});

test('a reason tells what the taster would enter', () => {
  const own = { ...taster({ slope: 0.2 }), scale: [2] };
  own.perception = { ...own.perception, bias: [0.25], gain: [0.5] };
  const valueAt = (/** @type {number} */ abv) => scoreBottle(own, { style: 'plain', label_abv: abv }).reasons[0]?.value;
  assert.deepEqual([valueAt(7), valueAt(3), valueAt(24), valueAt(-14)], [6.5, 4.5, 10, 0]);
});

test('alcohol is a reason only where the label tells it', () => {
  const full = { ...taster({ slope: 0.2 }), profiles: { plain: [0, 100, 0] } };
  const [reason] = scoreBottle(full, { style: 'plain' }).reasons;
  assert.deepEqual([reason?.what, reason?.name], ['attribute', 'body']);
  const [other] = scoreBottle({ ...full, printed: null }, { style: 'plain', label_abv: 6 }).reasons;
  assert.equal(other?.what, 'attribute');
});

test('the first of two equal reasons comes first', () => {
  const perception = { noise: 0, bias: [0, 0], gain: [1, 1], bias_var: [0, 0], cross: [0, 0], gain_var: [0, 0] };
  const two = {
    ...taster(),
    attributes: ['body', 'oak'],
    beta: [5, 0.5, 0.5, 0, 0].map((value) => value * FIXED_POINT),
    cov: Array.from({ length: 15 }, () => 0),
    profiles: { plain: [0, 100, 100, 0, 0] },
    style_effects: { plain: [0, 0, 0, 0, 0, 0, 0] },
    centre: [5, 5],
    scale: [1, 1],
    perception,
    printed: null,
  };
  assert.deepEqual(
    scoreBottle(two, { style: 'plain' }).reasons.map(({ name }) => name),
    ['body', 'oak'],
  );
});

test('a palate says the same of a bottle each time', () => {
  const palate = taster({ slope: 0.2 });
  const bottle = { style: 'plain', label_abv: 6 };
  assert.deepEqual(scoreBottle(palate, bottle), scoreBottle(palate, bottle));
  assert.equal(informationGain(palate, bottle), informationGain(palate, bottle));
});

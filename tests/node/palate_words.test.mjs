// What the Palate says of ratings that never differ, or differ as much as they can.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { steadyText } from '../../static/domain/palate/steady_text.js';
import { alcoholSentence } from '../../static/features/palate/alcohol.js';
import { alcoholReading } from '../../static/domain/palate/alcohol_reading.js';
import { aboutTasted, formatChance, sureText } from '../../static/domain/palate/text.js';

/** @param {number | null} sd @param {'none' | 'few' | 'known'} [level] */
const said = (sd, level = 'known') =>
  steadyText({ within_sd: sd, limit: sd === null ? null : 2.77 * sd, ceiling: null, n: 5, level, bottles: [] });

test('equal ratings of a wine have no limit of zero', () => {
  assert.equal(said(0), 'So far, you\u2019ve rated the same wine the same every time.');
});

test('no limit is wider than the scale', () => {
  assert.match(said(2.8), /changes by about 4\. .* less than 7\.8 apart/);
  assert.match(said(5.7), /^Your ratings of the same wine are far apart, .*better\.$/);
});

test('few repeats are said to be few', () => {
  assert.match(said(1, 'few'), /apart, .* This is from only a few repeats\.$/);
  assert.equal(said(null, 'none'), '');
});

test('no chance is shown as certain', () => {
  assert.deepEqual([1, 0.996, 0.984, 0.5, 0.001, 0].map(formatChance), ['99%', '99%', '98%', '50%', '1%', '1%']);
});

test('a style not tasted yet is no kind of wine that one likes', () => {
  const reasons = ['red_barolo', 'red_chianti'].map((name) => ({ what: 'style', name, direction: 'raises' }));
  const body = { what: 'attribute', name: 'body', direction: 'raises' };
  const said = aboutTasted(/** @type {any} */ ([...reasons, body]), (style) => style === 'red_barolo');
  assert.deepEqual(
    said.map(({ name }) => name),
    ['red_barolo', 'body'],
  );
});

test('a range of nearly every wine prefers no alcohol', () => {
  const of = (/** @type {number} */ low_abv, /** @type {number} */ high_abv) =>
    alcoholSentence(
      /** @type {any} */ ({ known: true, low_abv, high_abv, low_between_abv: [1, 9], high_between_abv: [9, 17] }),
    );
  for (const [low, high] of /** @type {[number, number][]} */ ([
    [5.8, 15.2],
    [5, 15],
    [9, 20],
  ]))
    assert.equal(of(low, high), 'Alcohol makes no difference to you that shows yet.');
  assert.match(of(11, 13.5), /^You like 11(\.0)?% to 13\.5% best/);
  assert.match(of(5, 12), /^You like up to 12(\.0)?% best/);
});

test('the alcohol range is as sure as the end that is named', () => {
  const sureOf = (/** @type {Partial<any>} */ range) => alcoholReading({ known: true, ...range });
  const [narrow, wide] = [
    [11.9, 12.4],
    [5, 11],
  ];
  const upTo = { low_abv: 5, high_abv: 12, low_between_abv: narrow, high_between_abv: wide };
  assert.deepEqual(sureOf(upTo), { kind: 'up_to', sure: 'not sure yet' });
  const from = { low_abv: 12, high_abv: 20, low_between_abv: wide, high_between_abv: narrow };
  assert.deepEqual(sureOf(from), { kind: 'from', sure: 'not sure yet' });
});

test('an end that is best is never very sure', () => {
  for (const [shape, sure] of [
    ['peak', 'very sure'],
    ['more', 'fairly sure'],
    ['less', 'fairly sure'],
  ])
    assert.equal(sureText(/** @type {any} */ ({ low: 9.5, high: 10, shape })), sure);
});

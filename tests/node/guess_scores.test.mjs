// Which guesses are listed, and what is said if none can be compared.
import assert from 'node:assert/strict';
import test from 'node:test';
import { baselineRate, collectGuesses, lackOfGuesses } from '../../static/features/blind/guess_scores.js';
import { row } from './shelf_records.mjs';

const LOCKED = {
  bottle: 'b',
  label_hidden: true,
  guesses_locked_at: '2026-03-01T20:00:00+01:00',
  uncovered_at: '2026-03-01T20:01:00+01:00',
};

/** @param {Record<string, any>} fields of the note @param {Record<string, any>} label */
function lackOf(fields, label) {
  const tastings = [row('tasting', 't', { ...LOCKED, ...fields })];
  const bottles = new Map([['b', row('bottle', 'b', label)]]);
  return lackOfGuesses(tastings, collectGuesses(tastings, bottles, String));
}

/** @param {Record<string, any>[]} fields of notes @param {Record<string, any>[]} labels */
function sheetOf(fields, labels) {
  const tastings = fields.map((each, at) => row('tasting', `t${at}`, { ...LOCKED, ...each, bottle: `b${at}` }));
  const bottles = new Map(labels.map((label, at) => [`b${at}`, row('bottle', `b${at}`, label)]));
  return collectGuesses(tastings, bottles, String);
}

test('a printed range counts as its middle', () => {
  const { abv } = sheetOf([{ guess_abv: 12 }, { guess_abv: 13 }], [{ label_abv_low: 12, label_abv_high: 13 }, {}]);
  assert.deepEqual(
    abv.map(({ guess, truth }) => [guess, truth]),
    [[12, 12.5]],
  );
});

test('a faulty bottle counts only where its taster says so', () => {
  const guess = { guess_abv: 12, faults: ['corked'] };
  const { abv } = sheetOf([guess, { ...guess, fault_counts: true }], [{ label_abv: 13 }, { label_abv: 13 }]);
  assert.deepEqual(
    abv.map(({ id }) => id),
    ['t1'],
  );
});

test('the usual answer is one grape, not a whole blend', () => {
  const blends = ['Gamay', 'Malbec', 'Cabernet Franc', 'Syrah', 'Tannat'].map((other) => ({
    grapes: `${other}, Merlot 60 %`,
  }));
  const { grape } = sheetOf(
    blends.map((_, at) => ({ guess_grape: at < 3 ? 'Merlot' : 'Gamay' })),
    blends,
  );
  assert.equal(grape.filter(({ right }) => right).length, 3);
  assert.equal(baselineRate(grape), 5);
});

test('a grape of two names is one usual answer', () => {
  const { grape } = sheetOf(Array(2).fill({ guess_grape: 'Gamay' }), [
    { grapes: 'Syrah' },
    { grapes: 'Shiraz, Syrah' },
  ]);
  assert.equal(baselineRate(grape), 2);
});

test('the usual style is counted whole', () => {
  const styles = ['red_rioja_young', 'red_rioja_young', 'wht_assyrtiko'].map((style) => ({ style }));
  const { style } = sheetOf(Array(3).fill({ guess_style: 'wht_assyrtiko' }), styles);
  assert.deepEqual([style.filter(({ right }) => right).length, baselineRate(style)], [1, 2]);
});

test('a guess whose truth the label lacks is not missing', () => {
  assert.equal(lackOf({ guess_abv: 12 }, {}), 'evening.guesses_no_truth');
  assert.equal(lackOf({ guess_abv: 12 }, { vintage: 2020 }), 'evening.guesses_no_truth');
  assert.equal(lackOf({ guess_abv: 12 }, { label_abv: 13 }), null);
});

test('a note locked without a guess has none', () => {
  assert.equal(lackOf({}, { label_abv: 13 }), 'evening.guesses_none');
  assert.equal(lackOf({ guess_abv: 12, uncovered_at: null }, { label_abv: 13 }), 'evening.guesses_none');
});

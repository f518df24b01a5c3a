// Which guesses are listed, and what is said if none can be compared.
import assert from 'node:assert/strict';
import test from 'node:test';
import { collectGuesses, lackOfGuesses } from '../../static/features/blind/guess_scores.js';
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

test('a guess whose truth the label lacks is not missing', () => {
  assert.equal(lackOf({ guess_abv: 12 }, {}), 'evening.guesses_no_truth');
  assert.equal(lackOf({ guess_abv: 12 }, { vintage: 2020 }), 'evening.guesses_no_truth');
  assert.equal(lackOf({ guess_abv: 12 }, { label_abv: 13 }), null);
});

test('a note locked without a guess has none', () => {
  assert.equal(lackOf({}, { label_abv: 13 }), 'evening.guesses_none');
  assert.equal(lackOf({ guess_abv: 12, uncovered_at: null }, { label_abv: 13 }), 'evening.guesses_none');
});

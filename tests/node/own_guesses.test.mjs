import assert from 'node:assert/strict';
import test from 'node:test';
import { namedPair, ownGuesses } from '../../static/domain/guest/own_guesses.js';

const BOTTLE = { style: 'wht_assyrtiko', grapes: 'Assyrtiko, Athiri', label_abv: 13.5, vintage: 2020 };

/** @param {string} id @param {number} position @param {Record<string, any>} more */
function glass(id, position, more = {}) {
  return { id, mark: id.toUpperCase(), position, closed: {}, discussed: true, uncovered: true, ...more };
}

/** @param {Record<string, any>[]} glasses @param {string | null} on */
const viewOf = (glasses, on = '2026-11-28') => ({ table: { on }, glasses });

/** @param {Record<string, any>} values @param {Record<string, any> | null} bottle */
function verdictsOf(values, bottle = BOTTLE) {
  const own = glass('a', 1, bottle ? { bottle, same_as: 'c' } : {});
  const view = viewOf([own, glass('b', 2, { bottle: {} }), glass('c', 3, { bottle: BOTTLE }), glass('d', 4)]);
  return ownGuesses(view, own, values).map(({ field, verdict, off }) => [field.slice(6), verdict, off]);
}

test('guesses are compared with the label', () => {
  const right = { guess_style: 'wht_assyrtiko', guess_grape: 'athiri', guess_abv: 13.5, guess_age_years: 6 };
  assert.deepEqual(verdictsOf(right), [
    ['style', 'right', null],
    ['grape', 'right', null],
    ['abv', 'right', 0],
    ['age_years', 'right', 0],
  ]);
  const wrong = { guess_style: 'ros_tavel', guess_grape: 'Riesling', guess_abv: 12, guess_age_years: 9 };
  assert.deepEqual(verdictsOf(wrong), [
    ['style', 'wrong', null],
    ['grape', 'wrong', null],
    ['abv', 'wrong', -1.5],
    ['age_years', 'wrong', 3],
  ]);
});

test('what the label does not say stays unknown', () => {
  assert.deepEqual(verdictsOf({ guess_abv: 12, guess_grape: 'Riesling' }, { style: null }), [
    ['grape', 'unknown', null],
    ['abv', 'unknown', null],
  ]);
});

test('without a noted grape, the grapes of the style are right', () => {
  const style = (/** @type {string} */ guess, /** @type {string} */ id) =>
    verdictsOf({ guess_grape: guess }, { style: id, grapes: null })[0]?.[1];
  assert.equal(style('riesling', 'wht_riesling_dry'), 'right');
  assert.equal(style('Chardonnay', 'wht_riesling_dry'), 'wrong');
  // A style of several grapes has others as well.
  assert.equal(style('Garnacha', 'red_rioja_young'), 'right');
  assert.equal(style('Merlot', 'red_rioja_young'), 'unknown');
});

test('a covered glass tells nothing', () => {
  assert.deepEqual(verdictsOf({ guess_abv: 12, guess_same_as: 'c' }, null), []);
});

test('the same wine is right, wrong, or covered', () => {
  assert.deepEqual(verdictsOf({ guess_same_as: 'c' }), [['same_as', 'right', null]]);
  assert.deepEqual(verdictsOf({ guess_same_as: 'b' }), [['same_as', 'wrong', null]]);
  assert.deepEqual(verdictsOf({ guess_same_as: 'd' }), [['same_as', 'unknown', null]]);
  assert.deepEqual(verdictsOf({ guess_same_as: 'gone' }), []);
});

test('one named pair counts, several count as none', () => {
  const view = viewOf([glass('a', 1), glass('b', 2), glass('c', 3)]);
  /** @param {Record<string, string>} named */
  const pairOf = (named) => namedPair(view, (id) => ({ guess_same_as: named[id] }));
  assert.equal(pairOf({}), null);
  assert.deepEqual(pairOf({ c: 'a' }), ['a', 'c']);
  assert.deepEqual(pairOf({ c: 'a', a: 'c' }), ['a', 'c']);
  assert.equal(pairOf({ c: 'a', a: 'b' }), null);
  assert.equal(pairOf({ a: 'a' }), null);
});

test('a verdict tells the guess and the truth', () => {
  const own = glass('a', 1, { bottle: BOTTLE });
  const view = viewOf([own, glass('b', 2, { bottle: BOTTLE })]);
  const values = { guess_grape: 'Riesling', guess_abv: 12, guess_same_as: 'b' };
  assert.deepEqual(ownGuesses(view, own, values), [
    { field: 'guess_grape', guess: 'Riesling', truth: 'Assyrtiko, Athiri', off: null, verdict: 'wrong' },
    { field: 'guess_abv', guess: 12, truth: 13.5, off: -1.5, verdict: 'wrong' },
    { field: 'guess_same_as', guess: 'b', truth: null, off: null, verdict: 'wrong' },
  ]);
});

test('two glasses are one wine by either, or by a third', () => {
  /** @param {string | null} one @param {string | null} other */
  const verdict = (one, other) => {
    const own = glass('a', 1, { bottle: BOTTLE, same_as: one });
    const view = viewOf([own, glass('b', 2, { bottle: BOTTLE, same_as: other })]);
    return ownGuesses(view, own, { guess_same_as: 'b' })[0]?.verdict;
  };
  assert.deepEqual([verdict('b', null), verdict(null, 'a'), verdict('c', 'c')], ['right', 'right', 'right']);
  assert.deepEqual([verdict(null, null), verdict('c', 'd'), verdict('c', null)], ['wrong', 'wrong', 'wrong']);
});

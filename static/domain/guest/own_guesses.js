/**
 * A guest's own guesses against an uncovered label. Pure.
 *
 * @typedef {{ field: string, guess: any, truth: any, off: number | null, verdict: 'right' | 'wrong' | 'unknown' }}
 *   Verdict off: for numbers, guess minus truth
 */
import { today } from '../../lib/datetime.js';
import { glassGuesses } from '../../rules/table/glass_guesses.js';
import { sheetGrid } from '../../rules/table/sheet_grid.js';
import { judgedLabel } from '../table/truth.js';
import { glassesOf } from './place.js';

/** @typedef {import('./guest_store.js').View} View */
/** @typedef {import('./place.js').GuestGlass} GuestGlass */

const ME = 'me';
/** Labels name the alcohol to a tenth. */
const SAME_ABV = 0.05;

/**
 * @param {View} view
 * @param {GuestGlass} glass with its label
 * @param {Record<string, any>} values of this guest
 * @returns {Verdict[]} of what the guest guessed
 */
export function ownGuesses(view, glass, values) {
  if (!glass.bottle) return [];
  const bottle = judgedLabel(glass.bottle);
  const led = { id: glass.id, mark: '', bottle };
  const sheets = [{ glass: glass.id, guest: ME, fields: values }];
  const grid = sheetGrid({ glasses: [led], guests: [{ id: ME, name: '' }], sheets, on: dayOf(view) });
  const { abv, age_years: age, style, grape } = glassGuesses(grid, glass.id, bottle);
  return [
    ...ofWord('guess_style', style),
    ...ofWord('guess_grape', grape),
    ...ofNumber('guess_abv', abv, SAME_ABV),
    ...ofNumber('guess_age_years', age, 0),
    ...ofSameWine(view, glass, values['guess_same_as']),
  ];
}

/** @param {View} view @returns {string} the day of the tasting */
function dayOf(view) {
  return view['table']?.on ?? today(new Date(view['now_ms'] ?? Date.now()));
}

/**
 * @param {string} field
 * @param {import('../../rules/table/table_summary.js').WordGuesses} guesses
 * @returns {Verdict[]}
 */
function ofWord(field, { truth, guesses: [own] }) {
  if (!own) return [];
  const verdict = own.right === null ? 'unknown' : own.right ? 'right' : 'wrong';
  return [{ field, guess: own.value, truth, off: null, verdict }];
}

/**
 * @param {string} field
 * @param {import('../../rules/table/table_summary.js').GuessList} guesses
 * @param {number} least
 * @returns {Verdict[]}
 */
function ofNumber(field, { truth, guesses: [own] }, least) {
  if (!own) return [];
  const verdict = own.off === null ? 'unknown' : Math.abs(own.off) <= least ? 'right' : 'wrong';
  return [{ field, guess: own.value, truth, off: own.off, verdict }];
}

/** @param {View} view @param {GuestGlass} glass @param {unknown} guess @returns {Verdict[]} */
function ofSameWine(view, glass, guess) {
  const other = glassesOf(view).find(({ id }) => id === guess);
  if (!other) return [];
  const isSame =
    glass.same_as === other.id ||
    other.same_as === glass.id ||
    Boolean(glass.same_as && glass.same_as === other.same_as);
  const verdict = other.bottle ? (isSame ? 'right' : 'wrong') : 'unknown';
  return [{ field: 'guess_same_as', guess: other.id, truth: null, off: null, verdict }];
}

/**
 * @param {View} view
 * @param {(glass: string) => Record<string, any>} valuesOf
 * @returns {string[] | null} the two glasses that the guest thought to be one wine, sorted; null for none or several
 */
export function namedPair(view, valuesOf) {
  const pairs = glassesOf(view).flatMap(({ id }) => {
    const other = valuesOf(id)['guess_same_as'];
    return other && other !== id ? [[id, other].sort().join()] : [];
  });
  const [pair, ...others] = new Set(pairs);
  return pair !== undefined && !others.length ? pair.split(',') : null;
}

// Compares the guests' guesses of one glass with its bottle.
import { sameGrape } from '../tasting/same_grape.js';
import { valuesOf } from './sheet_grid.js';

/** @typedef {import('./sheet_grid.js').SheetGrid} SheetGrid */
/** @typedef {import('./table_summary.js').Fields} Fields */

/**
 * @param {SheetGrid} grid
 * @param {string} glass
 * @param {Fields | null} bottle null while the label is hidden; with `style_grapes` if no grape was noted
 * @returns {import('./table_summary.js').GlassSummary['guesses']}
 */
export function glassGuesses(grid, glass, bottle) {
  const year = Number(String(grid.table.on ?? '').slice(0, 4));
  const age = bottle?.['vintage'] && year ? Math.max(0, year - bottle['vintage']) : null;
  const style = textOf(bottle?.['style']);
  const grapes = textOf(bottle?.['grapes']);
  const guessed = valuesOf(grid, glass, 'guess_grape');
  return {
    abv: numericGuesses(valuesOf(grid, glass, 'guess_abv'), bottle?.['label_abv'] ?? null),
    age_years: numericGuesses(valuesOf(grid, glass, 'guess_age_years'), age),
    style: wordGuesses(valuesOf(grid, glass, 'guess_style'), style, (value) => value === style),
    grape: grapes
      ? wordGuesses(guessed, grapes, (value) => sameGrape(value, grapes))
      : ofStyle(guessed, textOf(bottle?.['style_grapes'])),
  };
}

/**
 * @param {{ guest: string, value: any }[]} answers
 * @param {number | null} truth
 * @returns {import('./table_summary.js').GuessList}
 */
function numericGuesses(answers, truth) {
  const guesses = answers.map(({ guest, value }) => ({ guest, value, off: truth === null ? null : value - truth }));
  if (truth === null || !guesses.length) return { truth, guesses, closest: [] };
  const error = (/** @type {{ off: number | null }} */ { off }) => Math.abs(Number(off));
  const least = Math.min(...guesses.map(error));
  // Guesses of alcohol have one decimal; 12.4 and 12.6 are equally far from 12.5 but for rounding.
  const closest = guesses.filter((guess) => error(guess) <= least + 1e-9).map(({ guest }) => guest);
  return { truth, guesses: guesses.sort((a, b) => error(a) - error(b)), closest };
}

/**
 * @param {{ guest: string, value: any }[]} answers
 * @param {string | null} truth
 * @param {(value: string) => boolean} isRight
 * @returns {import('./table_summary.js').WordGuesses}
 */
function wordGuesses(answers, truth, isRight) {
  const guesses = answers.map(({ guest, value }) => ({ guest, value, right: truth === null ? null : isRight(value) }));
  return { truth, guesses };
}

/**
 * Judge guesses by the grapes of a style: one of them is right, but another grape may be in the wine as well.
 * @param {{ guest: string, value: any }[]} answers
 * @param {string | null} grapes
 * @returns {import('./table_summary.js').WordGuesses}
 */
function ofStyle(answers, grapes) {
  const guesses = answers.map(({ guest, value }) => ({ guest, value, right: sameGrape(value, grapes) || null }));
  return { truth: guesses.some(({ right }) => right) ? grapes : null, guesses };
}

/** @param {unknown} value */
function textOf(value) {
  return typeof value === 'string' && value ? value : null;
}

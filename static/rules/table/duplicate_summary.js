// Summarizes the hidden duplicate of a led tasting: how steady each guest was, and who found it.
import { evaluateGuesses } from '../stats/discrimination.js';
import { numberOf, SCALES, valuesOf } from './sheet_grid.js';
import { steadiness } from './steadiness.js';

/** @typedef {import('./sheet_grid.js').SheetGrid} SheetGrid */
/** @typedef {import('./table_summary.js').DuplicateSummary} DuplicateSummary */

/**
 * @param {SheetGrid} grid
 * @returns {DuplicateSummary | null} of the first duplicate; null if there is none
 */
export function duplicateSummary(grid) {
  const ids = grid.table.glasses.map(({ id }) => id);
  const second = grid.table.glasses.find(({ sameAs }) => sameAs && ids.includes(sameAs));
  if (!second) return null;
  const columns = [ids.indexOf(String(second.sameAs)), ids.indexOf(second.id)].sort((a, b) => a - b);
  const pair = /** @type {[number, number]} */ (columns);
  const glasses = /** @type {[string, string]} */ (pair.map((column) => ids[column]));
  const { found, missed } = pairGuesses(grid, glasses);
  const chance = 2 / (ids.length * (ids.length - 1));
  // With two glasses there is nothing to find.
  const tried = chance < 1 ? found.length + missed.length : 0;
  const test = evaluateGuesses(tried ? found.length : 0, tried, Math.min(chance, 0.5));
  return { glasses, guests: steadyGuests(grid, ids, pair), found, missed, test, chance };
}

/**
 * @param {SheetGrid} grid
 * @param {string[]} ids
 * @param {[number, number]} pair
 * @returns {DuplicateSummary['guests']}
 */
function steadyGuests(grid, ids, pair) {
  return grid.table.guests.flatMap(({ id }) => {
    const answers = ['liking', ...SCALES].map((field) => [field, ids.map((glass) => numberOf(grid, glass, id, field))]);
    const found = steadiness(Object.fromEntries(answers), pair);
    const [one, other] = pair.map((column) => numberOf(grid, String(ids[column]), id, 'liking'));
    const likings = one == null || other == null ? null : /** @type {[number, number]} */ ([one, other]);
    return Object.keys(found.fields).length ? [{ guest: id, likings, ...found }] : [];
  });
}

/**
 * Sort the guests who named two glasses of the same wine; whoever named several pairs has not found it.
 * @param {SheetGrid} grid
 * @param {[string, string]} glasses
 */
function pairGuesses(grid, glasses) {
  /** @type {Map<string, Set<string>>} */
  const named = new Map();
  for (const { id } of grid.table.glasses) {
    for (const { guest, value } of valuesOf(grid, id, 'same_as')) {
      if (value === id || !grid.cells.has(value)) continue;
      named.set(guest, (named.get(guest) ?? new Set()).add([id, value].sort().join(' ')));
    }
  }
  const truth = [...glasses].sort().join(' ');
  const isFound = (/** @type {Set<string>} */ pairs) => pairs.size === 1 && pairs.has(truth);
  const guests = grid.table.guests.flatMap(({ id }) => {
    const pairs = named.get(id);
    return pairs ? [{ id, isFound: isFound(pairs) }] : [];
  });
  return {
    found: guests.filter((guest) => guest.isFound).map(({ id }) => id),
    missed: guests.filter((guest) => !guest.isFound).map(({ id }) => id),
  };
}

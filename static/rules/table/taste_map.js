// Draws whose likings in a led tasting are close.
import { classicalScaling } from '../stats/classical_scaling.js';
import { numberOf } from './sheet_grid.js';
import { MIN_COMMON, tasteDistances } from './taste_distances.js';

/** @typedef {import('./table_summary.js').TasteMap} TasteMap */

const MIN_GUESTS = 3;

/**
 * @param {import('./sheet_grid.js').SheetGrid} grid
 * @returns {TasteMap}
 */
export function tasteMap(grid) {
  const ids = grid.table.glasses.map(({ id }) => id);
  const rated = grid.table.guests
    .map(({ id }) => ({ id, row: ids.map((glass) => numberOf(grid, glass, id, 'liking')) }))
    .filter(({ row }) => row.some((value) => value !== null));
  const kept = rated.filter(({ row }) => row.filter((value) => value !== null).length >= MIN_COMMON);
  const guests = kept.map(({ id }) => id);
  const { distances, closest } = tasteDistances(kept.map(({ row }) => row));
  const found = {
    guests,
    distances,
    closest: guests.map((guest, row) => {
      const other = closest[row] ?? null;
      const distance = other === null ? null : (distances[row]?.[other] ?? null);
      return { guest, closest: other === null ? null : (guests[other] ?? null), distance };
    }),
  };
  const none = { ...found, layout: [], shown: null };
  if (rated.length < MIN_GUESTS) return { ...none, status: 'too_few_guests' };
  if (guests.length < MIN_GUESTS || closest.every((other) => other === null)) {
    return { ...none, status: 'too_few_glasses' };
  }
  const { points, shown } = classicalScaling(withoutGaps(distances));
  const layout = guests.map((guest, row) => ({ guest, x: points[row]?.[0] ?? 0, y: points[row]?.[1] ?? 0 }));
  return { ...found, status: 'drawn', layout, shown };
}

/**
 * Replace unknown distances by the mean of the known ones.
 * @param {(number | null)[][]} distances
 */
function withoutGaps(distances) {
  const known = distances.flatMap((row, at) => row.filter((value, column) => value !== null && column !== at));
  const mean = known.reduce((/** @type {number} */ sum, value) => sum + Number(value), 0) / known.length;
  return distances.map((row) => row.map((value) => value ?? mean));
}

// Looks up what the guests of a led tasting noted.
import vocabularies from '../../spec/vocabularies.json' with { type: 'json' };

/**
 * @typedef {import('./table_summary.js').LedTable} LedTable
 * @typedef {import('./table_summary.js').Fields} Fields
 * @typedef {{ table: LedTable, cells: Map<string, Map<string, Fields>> }} SheetGrid cells: fields by glass, then guest
 * @typedef {{ glasses: string[], used: string[], left_out: string[], rows: number[][] }} Block rows: a value for each
 *   of `glasses`, a row for each of `used`
 */

/** Scales from 0 to 10. */
export const SCALES = [...vocabularies.vocabularies.scale, 'balance', 'complexity'];

/**
 * Merge the sheets of one guest for one glass; a later one wins.
 * @param {LedTable} table
 * @returns {SheetGrid}
 */
export function sheetGrid(table) {
  const guests = new Set(table.guests.map(({ id }) => id));
  /** @type {SheetGrid['cells']} */
  const cells = new Map(table.glasses.map(({ id }) => [id, new Map()]));
  for (const { glass, guest, fields } of table.sheets) {
    const column = cells.get(glass);
    if (!column || !guests.has(guest)) continue;
    const noted = Object.entries(fields).filter(([, value]) => value !== null && value !== undefined);
    if (noted.length) column.set(guest, { ...column.get(guest), ...Object.fromEntries(noted) });
  }
  return { table, cells };
}

/**
 * List what each guest noted in a field, in the order of the guests.
 * @param {SheetGrid} grid
 * @param {string} glass
 * @param {string} field
 * @returns {{ guest: string, value: any }[]}
 */
export function valuesOf({ table, cells }, glass, field) {
  const column = cells.get(glass);
  return table.guests.flatMap(({ id }) => {
    const value = column?.get(id)?.[field];
    return value === undefined ? [] : [{ guest: id, value }];
  });
}

/**
 * @param {SheetGrid} grid
 * @param {string} glass
 * @param {string} guest
 * @param {string} field
 * @returns {number | null}
 */
export function numberOf({ cells }, glass, guest, field) {
  const value = cells.get(glass)?.get(guest)?.[field];
  return typeof value === 'number' ? value : null;
}

/**
 * Select the complete answers for a field: glasses that at least half of the guests with any answer judged, and
 * guests who judged all of those. A glass that only a latecomer judged thus does not exclude the others.
 * @param {SheetGrid} grid
 * @param {string} field
 * @returns {Block}
 */
export function completeBlock(grid, field) {
  const ids = grid.table.glasses.map(({ id }) => id);
  const answers = grid.table.guests
    .map(({ id }) => ({ id, row: ids.map((glass) => numberOf(grid, glass, id, field)) }))
    .filter(({ row }) => row.some((value) => value !== null));
  const isKept = ids.map((_, at) => 2 * answers.filter(({ row }) => row[at] !== null).length >= answers.length);
  const glasses = answers.length ? ids.filter((_, at) => isKept[at]) : [];
  const kept = answers.map(({ id, row }) => ({ id, row: row.filter((_, at) => isKept[at]) }));
  const isComplete = (/** @type {{ row: (number | null)[] }} */ { row }) => row.every((value) => value !== null);
  return {
    glasses,
    used: kept.filter(isComplete).map(({ id }) => id),
    left_out: kept.filter((each) => !isComplete(each)).map(({ id }) => id),
    rows: kept.filter(isComplete).map(({ row }) => row.map(Number)),
  };
}

/** @param {SheetGrid} grid */
export function countAnswers({ table, cells }) {
  const guests = new Set([...cells.values()].flatMap((column) => [...column.keys()]));
  const sheets = [...cells.values()].reduce((total, column) => total + column.size, 0);
  return { glasses: table.glasses.length, guests: guests.size, sheets };
}

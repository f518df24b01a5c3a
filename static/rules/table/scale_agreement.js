// Measures how far the guests of a led tasting agree on a scale.
import { scaleReading } from './scale_reading.js';
import { completeBlock } from './sheet_grid.js';

const MIN_GUESTS = 3;
const MIN_GLASSES = 3;

/**
 * @param {import('./sheet_grid.js').SheetGrid} grid
 * @param {string} field
 * @returns {import('./table_summary.js').ScaleAgreement | null} null if nobody used the scale
 */
export function scaleAgreement(grid, field) {
  const { glasses, used, rows } = completeBlock(grid, field);
  if (!glasses.length) return null;
  const found = { field, glasses, used };
  const none = { icc: null, icc_consistency: null, distance: null, reading: null };
  if (used.length < MIN_GUESTS) return { ...found, status: 'too_few_guests', ...none };
  if (glasses.length < MIN_GLASSES) return { ...found, status: 'too_few_glasses', ...none };
  const measured = scaleReading(glasses.map((_, glass) => rows.map((row) => Number(row[glass]))));
  if (measured.icc === null) return { ...found, status: 'no_variation', ...none };
  return { ...found, status: 'measured', ...measured };
}

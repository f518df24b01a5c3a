// Measures how far the guests of a led tasting agree on a scale.
import { intraclass } from '../stats/intraclass.js';
import { completeBlock } from './sheet_grid.js';

const MIN_GUESTS = 3;
const MIN_GLASSES = 3;
const AGREE = 0.75;
const PARTLY = 0.5;

/**
 * @param {import('./sheet_grid.js').SheetGrid} grid
 * @param {string} field
 * @returns {import('./table_summary.js').ScaleAgreement | null} null if nobody used the scale
 */
export function scaleAgreement(grid, field) {
  const { glasses, used, rows } = completeBlock(grid, field);
  if (!glasses.length) return null;
  const found = { field, glasses, used };
  const none = { icc: null, icc_consistency: null, reading: null };
  if (used.length < MIN_GUESTS) return { ...found, status: 'too_few_guests', ...none };
  if (glasses.length < MIN_GLASSES) return { ...found, status: 'too_few_glasses', ...none };
  const { icc21, icc31 } = intraclass(glasses.map((_, glass) => rows.map((row) => row[glass])));
  if (icc21 === null) return { ...found, status: 'no_variation', ...none };
  const reading = icc21 >= AGREE ? 'agree' : icc21 >= PARTLY ? 'partly' : 'differ';
  return { ...found, status: 'measured', icc: icc21, icc_consistency: icc31, reading };
}

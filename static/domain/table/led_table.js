// Gives the records of a led tasting to the functions that summarize it.
import { duplicates } from './arrange.js';
import { isCovered } from './covered.js';
import { distinctNames } from './guest_name.js';
import { hasAnyAnswer } from './steps.js';
import { bottleOf } from './table_records.js';
import { judgedLabel } from './truth.js';

/** @typedef {import('./table_records.js').TableRecords} TableRecords */

/**
 * @param {TableRecords} table
 * @returns {import('../../rules/table/table_summary.js').LedTable} labels that are still covered are left out
 */
export function ledTable(table) {
  const { row, glasses, guests, sheets } = table;
  // A pair tells what is in a covered glass, so both must be uncovered.
  const again = duplicates(glasses.filter((glass) => !isCovered(table, glass)));
  const names = distinctNames(guests);
  const firstWith = (/** @type {string} */ bottle) =>
    glasses.find((glass) => glass.fields['bottle'] === bottle && !isCovered(table, glass))?.id;
  return {
    glasses: glasses.map((glass) => ({
      id: glass.id,
      mark: glass.fields['mark'] ?? '',
      bottle: isCovered(table, glass) ? null : labelOf(table, glass),
      sameAs: again.includes(glass) ? (firstWith(glass.fields['bottle']) ?? null) : null,
    })),
    guests: guests.map(({ id }, at) => ({ id, name: names[at] ?? '' })),
    sheets: sheets
      .filter(({ fields }) => hasAnyAnswer(fields))
      .map(({ fields: { guess_same_as: sameAs = null, ...fields } }) => ({
        glass: fields['glass'],
        guest: fields['guest'],
        fields: { ...fields, same_as: sameAs },
      })),
    on: row?.fields['on'] ?? null,
  };
}

/** @param {TableRecords} table @param {import('../../store/record.js').Row} glass */
function labelOf(table, glass) {
  const bottle = bottleOf(table, glass);
  return bottle && judgedLabel(bottle.fields);
}

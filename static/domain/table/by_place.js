// Leading by place: guests who have orders of their own each have another glass at the same place. What is opened and
// closed for a glass of the first order holds for each guest's glass at that place (webapp/group_tasting/table.py).
import { closingMs } from './closing.js';
import { areLabelsHidden } from './covered.js';
import { inOrder } from './steps.js';
import { glassesFor } from './table_records.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('./table_records.js').TableRecords} TableRecords */

/** @param {TableRecords} table */
export function isLedByPlace({ row }) {
  return row?.fields['order'] === 'balanced' && row.fields['pace'] !== 'free';
}

/**
 * Return the number whose order a guest follows; a flight that is shown as QR codes has the first order.
 * @param {Pick<Row, 'fields'>} guest
 */
export function orderNumber({ fields }) {
  return fields['entry'] === 'qr' ? 1 : (fields['number'] ?? 1);
}

/**
 * @param {TableRecords} table
 * @param {string} leading a glass of the first order
 * @param {number} number of the guest's order
 * @returns {string} the guest's glass at the same place
 */
export function ownGlass(table, leading, number) {
  return atSamePlace(table, leading, 1, number);
}

/** @param {TableRecords} table @param {string} glass @param {number} of @param {number} to */
function atSamePlace(table, glass, of, to) {
  if (!isLedByPlace(table)) return glass;
  const at = glassesFor(table, of).findIndex(({ id }) => id === glass);
  return glassesFor(table, to)[at]?.id ?? glass;
}

/**
 * @param {TableRecords} table
 * @param {Row} glass
 * @param {string} step
 * @param {number} number of the guest's order
 * @returns {number | null} when the step of the glass closes or closed for the guest (ms since 1970); null while it is
 *   open
 */
export function closedMs(table, glass, step, number) {
  const leadingId = atSamePlace(table, glass.id, number, 1);
  const leading = table.glasses.find(({ id }) => id === leadingId) ?? glass;
  const head = table.row?.fields ?? {};
  if (!inOrder(head['steps']).includes(step)) return null;
  const { discussed_at: discussedAt, uncovered_at: uncoveredAt } = glass.fields;
  return closingMs(leading.fields[`closed_${step}_at`], [
    discussedAt,
    head['ended_at'],
    areLabelsHidden(head) ? uncoveredAt : null,
  ]);
}

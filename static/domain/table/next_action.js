// What the leader naturally does next. Pure.
import { nextPlace, openIndex } from './flow.js';
import { glassesFor } from './table_records.js';

/** @typedef {import('./table_records.js').TableRecords} TableRecords */
/** @typedef {import('../../store/record.js').Row} Row */
/**
 * @typedef {{ kind: 'step', next: import('./flow.js').Place | null } | { kind: 'talk' | 'uncover', glass: Row } |
 *   { kind: 'results' }} Action step: close the open step, and open `next`
 */

/** @param {TableRecords} table @returns {Action} */
export function nextAction(table) {
  return openIndex(table) === -1 ? nextTalk(table) : { kind: 'step', next: nextPlace(table) };
}

/**
 * Once nothing is tasted: the next glass to talk about, then the next label to uncover, then the results.
 * @param {TableRecords} table
 * @returns {Action}
 */
export function nextTalk(table) {
  const glasses = glassesFor(table);
  const silent = glasses.find(({ fields }) => !fields['discussed_at']);
  if (silent) return { kind: 'talk', glass: silent };
  const covered = table.row?.fields['labels_hidden'] === true && glasses.find(({ fields }) => !fields['uncovered_at']);
  return covered ? { kind: 'uncover', glass: covered } : { kind: 'results' };
}

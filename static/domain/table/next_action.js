// What the leader naturally does next. Pure.
import { isCovered } from './covered.js';
import { answeredAt, nextPlace, openIndex, places } from './flow.js';
import { glassesFor, present } from './table_records.js';

/** @typedef {import('./table_records.js').TableRecords} TableRecords */
/** @typedef {import('../../store/record.js').Row} Row */
/**
 * @typedef {{ kind: 'step', next: import('./flow.js').Place | null } | { kind: 'talk' | 'uncover', glass: Row } |
 *   { kind: 'pass', next: import('./flow.js').Place | null } | { kind: 'results' }} Action step: close the open step,
 *   and open `next`; pass: first let the one phone go round
 */

/** @param {TableRecords} table @returns {Action} */
export function nextAction(table) {
  const open = places(table)[openIndex(table)];
  if (!open) return nextTalk(table);
  return { kind: isToBePassed(table, open) ? 'pass' : 'step', next: nextPlace(table) };
}

/**
 * Tell whether all guests share the leader's phone, and some have not had it at this place yet.
 * @param {TableRecords} table
 * @param {import('./flow.js').Place} open
 */
function isToBePassed(table, open) {
  const guests = present(table);
  return guests.every(({ fields }) => fields['entry'] === 'passed') && answeredAt(table, open) < guests.length;
}

/**
 * Find what comes once nothing is tasted: the next glass to talk about, the next label to uncover, then the results.
 * @param {TableRecords} table
 * @returns {Action}
 */
function nextTalk(table) {
  const glasses = glassesFor(table);
  const silent = glasses.find(({ fields }) => !fields['discussed_at']);
  if (silent) return { kind: 'talk', glass: silent };
  const covered = glasses.find((glass) => isCovered(table, glass));
  return covered ? { kind: 'uncover', glass: covered } : { kind: 'results' };
}

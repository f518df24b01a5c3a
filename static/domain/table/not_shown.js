// What guests have not been shown yet when the leader goes on, opens the results, or ends. Pure.
import { isLedByPlace } from './by_place.js';
import { isCovered } from './led_table.js';
import { answeredCount, openIndex, places, showAnswers } from './flow.js';
import { bottleOf, glassesFor, visitors } from './table_records.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('./table_records.js').TableRecords} TableRecords */
/** @typedef {import('./flow.js').Edit} Edit */

/** @param {TableRecords} table @returns {Row[]} glasses that guests have answered, and whose answers are not shown */
export function answersNotShown(table) {
  return glassesFor(table).filter(({ id, fields }) => !fields['discussed_at'] && answeredCount(table, id) > 0);
}

/** @param {TableRecords} table @returns {Row[]} glasses with a wine whose label is covered; none without guests */
export function labelsNotShown(table) {
  if (!visitors(table).length) return [];
  return glassesFor(table).filter((glass) => isCovered(table, glass) && bottleOf(table, glass));
}

/**
 * The open glass, if the next step would leave it with answers that nobody has seen. By place, others taste it later.
 * @param {TableRecords} table
 * @param {import('./flow.js').Place | null} next
 * @returns {Row | null}
 */
export function leftUnshown(table, next) {
  const open = places(table)[openIndex(table)];
  if (!open || isLedByPlace(table) || next?.glass === open.glass) return null;
  return answersNotShown(table).find(({ id }) => id === open.glass) ?? null;
}

/**
 * @param {TableRecords} table
 * @param {string} now
 * @returns {Edit[]} that lay all answers open, and uncover all labels
 */
export function showAll(table, now) {
  let after = table;
  const edits = [];
  for (const glass of answersNotShown(table)) {
    edits.push(...showAnswers(after, glass, now));
    const shown = { ...glass, fields: { ...glass.fields, discussed_at: now } };
    after = { ...after, glasses: after.glasses.map((one) => (one.id === glass.id ? shown : one)) };
  }
  return [...edits, ...revealAll(labelsNotShown(table), now)];
}

/** @param {Row[]} glasses @param {string | null} moment null: cover them again @returns {Edit[]} */
export function revealAll(glasses, moment) {
  return glasses.map(({ id }) => ({ kind: 'glass', id, fields: { uncovered_at: moment } }));
}

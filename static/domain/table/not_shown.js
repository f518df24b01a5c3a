// What guests have not been shown yet when the leader goes on, opens the results, or ends. Pure.
import { isLedByPlace } from './by_place.js';
import { isCovered } from './covered.js';
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
 * Return the open glass if the next step would leave it. By place, others taste it later.
 * @param {TableRecords} table
 * @param {import('./flow.js').Place | null} next
 * @returns {string | null}
 */
export function leftGlass(table, next) {
  const open = places(table)[openIndex(table)];
  return !open || isLedByPlace(table) || next?.glass === open.glass ? null : open.glass;
}

/**
 * Return the open glass if the next step would leave it with answers that nobody has seen.
 * @param {TableRecords} table
 * @param {import('./flow.js').Place | null} next
 * @returns {Row | null}
 */
export function leftUnshown(table, next) {
  const left = leftGlass(table, next);
  return answersNotShown(table).find(({ id }) => id === left) ?? null;
}

/**
 * Tell whether guests may have a glass before them, and answers to it may still be on the way.
 * @param {TableRecords} table
 * @param {Row} glass
 */
function wasOpened(table, { id, fields }) {
  const { open_glass: open, pace } = table.row?.fields ?? {};
  if (!visitors(table).length) return false;
  if (pace === 'free' || isLedByPlace(table)) return true;
  return id === open || Object.keys(fields).some((field) => field.startsWith('closed_') && fields[field]);
}

/**
 * @param {TableRecords} table
 * @param {string} now
 * @returns {Edit[]} that lay all answers open, also those on their way, and uncover all labels
 */
export function showAll(table, now) {
  let after = table;
  const edits = [];
  const answered = answersNotShown(table);
  const glasses = glassesFor(table).filter(
    (glass) => answered.includes(glass) || (!glass.fields['discussed_at'] && wasOpened(table, glass)),
  );
  for (const glass of glasses) {
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

// Pours of one session: those of a visit and the drinks around it, or those of the last hours.
import { bottlesByIds, tastingsBetween, tastingsOfVisit } from '../../store/queries.js';
import { stepFields, steps } from './tasting_steps.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ rows: Row[], bottles: Map<string, Row> }} VisitPours */

const HOUR_MS = 3_600_000;
const SESSION_MS = 12 * HOUR_MS;
/** A drink further from every pour of the visit is not part of the session. */
const SESSION_GAP_MS = 6 * HOUR_MS;
/** Fields that the pourer sets; they do not show that the user tasted the wine. */
const PREPARED = new Set(['serving_c', 'flight_mark', 'label_hidden', 'pour_ml']);
const noted = steps.flatMap((step) => stepFields[step]?.tasting ?? []).filter((field) => !PREPARED.has(field));

/**
 * @param {string | undefined} visit
 * @returns {Promise<VisitPours>} in order of tasting
 */
export async function poursOf(visit) {
  const ofVisit = visit ? await tastingsOfVisit(visit) : [];
  const rows = ofVisit.length ? await poursOnDay(ofVisit) : await lastHours();
  return { rows, bottles: await bottlesByIds(rows.map((row) => row.fields['bottle'])) };
}

/**
 * Tell whether a glass was tasted. A prepared glass counts only once it has a note.
 * @param {Row} row
 */
export function isTasted({ fields }) {
  const isPrepared = Boolean(fields['flight_mark'] || fields['label_hidden']);
  return !isPrepared || Boolean(fields['closed_at']) || noted.some((field) => (fields[field] ?? null) !== null);
}

/**
 * @param {Row[]} ofVisit
 * @returns {Promise<Row[]>} with the drinks poured outside the visit
 */
async function poursOnDay(ofVisit) {
  const times = ofVisit.map(tastedMs).filter((ms) => !Number.isNaN(ms));
  if (!times.length) return ofVisit;
  const around = await tastingsBetween(Math.min(...times) - SESSION_GAP_MS, Math.max(...times) + SESSION_GAP_MS);
  const own = new Set(ofVisit.map((row) => row.id));
  const isExample = Boolean(ofVisit[0]?.fields['example']);
  const outside = around.filter(
    (row) =>
      !own.has(row.id) &&
      Boolean(row.fields['example']) === isExample &&
      times.some((ms) => Math.abs(ms - tastedMs(row)) < SESSION_GAP_MS),
  );
  return [...ofVisit, ...outside].sort((a, b) => tastedMs(a) - tastedMs(b));
}

/** @returns {Promise<Row[]>} */
async function lastHours() {
  const rows = await tastingsBetween(Date.now() - SESSION_MS, Date.now() + SESSION_MS);
  return rows.filter((row) => !row.fields['example']);
}

/** @param {Row} row */
function tastedMs({ fields }) {
  return Date.parse(fields['tasted_at'] ?? '');
}

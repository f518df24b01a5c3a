// What was poured on one evening: that of a visit with the drinks before, between and after it, or the last hours.
import { bottlesByIds, tastingsBetween, tastingsOfVisit } from '../../store/queries.js';
import { stepFields, steps } from './tasting_steps.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ rows: Row[], bottles: Map<string, Row> }} VisitPours */

const HOUR_MS = 3_600_000;
const SESSION_MS = 12 * HOUR_MS;
/** A drink further from every pour of a visit belongs to another evening. */
const SESSION_GAP_MS = 6 * HOUR_MS;
/** Who pours the glass says these, not who drinks it. */
const PREPARED = new Set(['serving_c', 'flight_mark', 'label_hidden', 'pour_ml']);
const noted = steps.flatMap((step) => stepFields[step]?.tasting ?? []).filter((field) => !PREPARED.has(field));

/** @param {string | undefined} visit @returns {Promise<VisitPours>} in the order of tasting */
export async function poursOf(visit) {
  const ofVisit = visit ? await tastingsOfVisit(visit) : [];
  const rows = ofVisit.length ? await eveningOf(ofVisit) : await lastHours();
  return { rows, bottles: await bottlesByIds(rows.map((row) => row.fields['bottle'])) };
}

/**
 * Whether a glass was noted or sipped. A glass of a flight or a covered one may stand untouched.
 * @param {Row} row
 */
export function isTasted({ fields }) {
  const isPrepared = Boolean(fields['flight_mark'] || fields['label_hidden']);
  return !isPrepared || Boolean(fields['closed_at']) || noted.some((field) => (fields[field] ?? null) !== null);
}

/** @param {Row[]} ofVisit @returns {Promise<Row[]>} with the drinks that were poured outside the visit */
async function eveningOf(ofVisit) {
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

// Leading a tasting: which step of which glass is open, and what the next tap changes. Pure; the
// caller saves the edits.
import { closedMs, isLedByPlace, orderNumber, ownGlass } from './by_place.js';
import { answersOf, glassesFor, present, visitors } from './table_records.js';
import { doneField, hasAnswer, inOrder } from './steps.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('./table_records.js').TableRecords} TableRecords */
/** @typedef {{ glass: string, step: string }} Place one step of one glass */
/** @typedef {{ kind: 'group_tasting' | 'glass', id: string, fields: Record<string, any> }} Edit */

const DAY_MS = 86_400_000;

/** @param {string} step */
const closedField = (step) => `closed_${step}_at`;

/** @param {TableRecords} table @returns {Place[]} every step of every glass, in the (first) order of tasting */
export function places(table) {
  const steps = inOrder(table.row?.fields['steps']);
  return glassesFor(table).flatMap(({ id }) => steps.map((step) => ({ glass: id, step })));
}

/**
 * @param {TableRecords} table
 * @returns {number} index of the open place in `places`; -1 for none, as at everybody's own pace
 */
export function openIndex(table) {
  const { open_glass: glass, open_step: step, pace } = table.row?.fields ?? {};
  if (pace === 'free') return -1;
  return places(table).findIndex((place) => place.glass === glass && place.step === step);
}

/**
 * Return the place that opens next; the rest of a glass that is talked about is over. By place, guests have other
 * glasses.
 * @param {TableRecords} table
 * @returns {Place | null}
 */
export function nextPlace(table) {
  const after = places(table).slice(openIndex(table) + 1);
  return after.find((place) => !isOver(table, place)) ?? null;
}

/**
 * Return the place before the open one, which is the last one while nothing is open.
 * @param {TableRecords} table
 * @returns {Place | null}
 */
export function placeBefore(table) {
  const at = openIndex(table);
  const before = places(table).slice(0, at === -1 ? undefined : at);
  return before.findLast((place) => !isOver(table, place)) ?? null;
}

/** @param {TableRecords} table @param {Place} place */
function isOver(table, { glass }) {
  return !isLedByPlace(table) && Boolean(table.glasses.find(({ id }) => id === glass)?.fields['discussed_at']);
}

/**
 * Close the open step and open the next one.
 * @param {TableRecords} table
 * @param {string} now
 * @returns {Edit[]} after the last step nothing is open
 */
export function goOn(table, now) {
  const open = places(table)[openIndex(table)];
  const next = nextPlace(table);
  return [
    ...(open ? [closing(open, now)] : []),
    ...(table.row ? [opening(table.row, next, null)] : []),
    ...reopening(next),
  ];
}

/**
 * Open the step before; it takes answers again.
 * @param {TableRecords} table
 * @returns {Edit[]}
 */
export function goBack(table) {
  const before = placeBefore(table);
  return before && table.row ? [opening(table.row, before, null), ...reopening(before)] : [];
}

/**
 * Lead from here a tasting that was at everybody's own pace: the first step that is not closed opens.
 * @param {TableRecords} table
 * @returns {Edit[]}
 */
export function leadOn(table) {
  const open = places(table)[openIndex(table)];
  if (!table.row || stateOf(table) !== 'open' || (open && !isOver(table, open))) return [];
  const isClosedAt = (/** @type {Place} */ { glass, step }) =>
    Boolean(table.glasses.find(({ id }) => id === glass)?.fields[closedField(step)]);
  const next = places(table).find((place) => !isOver(table, place) && !isClosedAt(place));
  return next || open ? [opening(table.row, next ?? null, null)] : [];
}

/** @param {Place} place @param {string} now @returns {Edit} */
function closing({ glass, step }, now) {
  return { kind: 'glass', id: glass, fields: { [closedField(step)]: now } };
}

/** @param {Place | null} place @returns {Edit[]} */
function reopening(place) {
  return place ? [{ kind: 'glass', id: place.glass, fields: { [closedField(place.step)]: null } }] : [];
}

/** @param {Row} row @param {Place | null} place @param {string | null} startedAt @returns {Edit} */
function opening(row, place, startedAt) {
  const fields = { open_glass: place?.glass ?? null, open_step: place?.step ?? null };
  return { kind: 'group_tasting', id: row.id, fields: startedAt ? { ...fields, started_at: startedAt } : fields };
}

/**
 * Start the tasting, which is of this day: in a led one the first step of the first glass opens, else all are open.
 * @param {TableRecords} table
 * @param {string} now
 * @returns {Edit[]}
 */
export function start(table, now) {
  if (!table.row) return [];
  const first = table.row.fields['pace'] === 'free' ? null : (places(table)[0] ?? null);
  const edit = opening(table.row, first, now);
  // Many a table is set days before.
  const on = now.slice(0, 10);
  return [table.row.fields['on'] === on ? edit : { ...edit, fields: { ...edit.fields, on } }];
}

/**
 * Lay the answers of a glass open. All its steps close first, so that talk colours no answer. Where guests are led by
 * place, the moment of the talk closes them, because the glass has another place for each guest.
 * @param {TableRecords} table
 * @param {Row} glass
 * @param {string} now
 * @returns {Edit[]}
 */
export function showAnswers(table, glass, now) {
  const asked = isLedByPlace(table) ? [] : inOrder(table.row?.fields['steps']);
  const steps = asked.filter((step) => !glass.fields[closedField(step)]);
  const closed = Object.fromEntries(steps.map((step) => [closedField(step), now]));
  const shown = { ...glass, fields: { ...glass.fields, discussed_at: now } };
  const after = { ...table, glasses: table.glasses.map((one) => (one.id === glass.id ? shown : one)) };
  // With the last glass the tasting is over, and there is no step left that could be open.
  const isLast = table.row?.fields['open_glass'] === glass.id && !isLedByPlace(table) && !nextPlace(after);
  return [
    { kind: 'glass', id: glass.id, fields: { ...closed, discussed_at: now } },
    ...(isLast && table.row ? [opening(table.row, null, null)] : []),
  ];
}

/**
 * Tell whether the leader's own phone asks for no more answers: from going on, without the seconds that guests have.
 * @param {TableRecords} table
 * @param {Pick<Row, 'fields'>} guest
 * @param {Row} glass
 * @param {string} step
 */
export function isClosed(table, guest, glass, step) {
  return closedMs(table, glass, step, orderNumber(guest)) !== null;
}

/** @param {TableRecords} table @param {Place} place @param {Row} guest @returns {Place} with the guest's own glass */
export function ownPlace(table, { glass, step }, guest) {
  return { glass: ownGlass(table, glass, orderNumber(guest)), step };
}

/**
 * Count the guests who are there, without the leader, and have answered at a place.
 * @param {TableRecords} table
 * @param {Place} place
 */
export function answeredAt(table, place) {
  return present(table).filter((guest) => {
    const { glass, step } = ownPlace(table, place, guest);
    return hasAnswer(step, answersOf(table, guest.id, glass));
  }).length;
}

/**
 * Tell who is done at a place. A guest without a phone at the table cannot say so: there an answer counts. Nobody
 * tastes on where the answers or the label are shown, because that closes the glass.
 * @param {TableRecords} table
 * @param {Place} place
 * @returns {{ done: number, tasting: Row[] }} tasting: the guests who are not done
 */
export function doneAt(table, place) {
  const guests = present(table);
  const tasting = guests.filter((guest) => {
    const { glass, step } = ownPlace(table, place, guest);
    const row = table.glasses.find(({ id }) => id === glass);
    if (row && isClosed(table, guest, row, step)) return false;
    const answers = answersOf(table, guest.id, glass);
    return guest.fields['entry'] === 'phone' ? answers[doneField(step)] !== true : !hasAnswer(step, answers);
  });
  return { done: guests.length - tasting.length, tasting };
}

/**
 * Count the guests who have answered any step of a glass, without looking at what.
 * @param {TableRecords} table
 * @param {string} glass
 */
export function answeredCount(table, glass) {
  const steps = inOrder(table.row?.fields['steps']);
  return visitors(table).filter(({ id }) => {
    const answers = answersOf(table, id, glass);
    return steps.some((each) => hasAnswer(each, answers));
  }).length;
}

/**
 * Tell whether guests may still change something: until a day after the end. Deletions come later, too, but rarely.
 * @param {TableRecords} table
 * @param {number} now_ms
 */
export function isFresh({ row }, now_ms) {
  const ended = row?.fields['ended_at'];
  return !ended || now_ms - Date.parse(ended) < DAY_MS;
}

/** @param {TableRecords} table @returns {'new' | 'open' | 'ended'} */
export function stateOf({ row }) {
  if (row?.fields['ended_at']) return 'ended';
  return row?.fields['started_at'] ? 'open' : 'new';
}

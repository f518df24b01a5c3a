// The table that is open on this phone, as signals. Answers are kept first and sent by `guest_link.js`.
import { batch, computed, signal } from '../../lib/ui.js';
import { current, emptyAnswer, noted, unsent, valuesOf } from './answers.js';
import { serverTime } from './clock.js';
import { changeSeat, keepNote, readAnswers, readSeat } from './guest_store.js';

/** @typedef {import('./answers.js').Answer} Answer */
/** @typedef {import('./guest_store.js').Seat} Seat */

/** @type {import('../../lib/ui.js').Signal<Seat | null>} */
export const seat = signal(null);
/** @type {import('../../lib/ui.js').Signal<Map<string, Answer>>} */
const answers = signal(new Map());
/** Whether the last save failed, so that only the open page has what was noted. */
export const isSaveFailing = signal(false);

/** Notes that are not committed yet, by answer; rows from the database must not replace theirs. */
const committing = /** @type {Map<string, number>} */ (new Map());

export const unsentCount = computed(() => {
  const fields = [...unsent(answers.value.values()).values()].map((sending) => Object.keys(sending.fields).length);
  return fields.reduce((sum, count) => sum + count, seat.value?.consent?.isSent === false ? 1 : 0);
});

/** Whether the server has anything of this guest. */
export const hasSent = computed(
  () =>
    [...answers.value.values()].some(({ accepted }) => accepted) ||
    Object.values(seat.value?.view['sheets'] ?? {}).some((sheet) => Object.keys(sheet).length > 0) ||
    seat.value?.consent?.isSent === true,
);

/**
 * Load a table from the database, and what other pages of this phone noted there.
 * @param {string} table
 * @returns {Promise<Seat | null>}
 */
export async function openSeat(table) {
  const [found, rows] = [(await readSeat(table)) ?? null, await readAnswers(table)];
  batch(() => {
    if (seat.peek()?.table !== table) answers.value = new Map();
    seat.value = found;
    acceptAnswers(rows);
  });
  return found;
}

export function closeSeat() {
  batch(() => {
    seat.value = null;
    answers.value = new Map();
  });
}

/** Show answers of the open table. @param {Answer[]} rows as the database has them now */
export function acceptAnswers(rows) {
  const table = seat.peek()?.table;
  const current = new Map(answers.peek());
  for (const row of rows) if (row.table === table && !committing.get(row.id)) current.set(row.id, row);
  answers.value = current;
}

/**
 * Change the open seat in the database and on the screen.
 * @param {string} table
 * @param {(seat: Seat) => Partial<Seat>} change
 */
export async function updateSeat(table, change) {
  const changed = await changeSeat(table, change);
  if (seat.peek()?.table === table) seat.value = changed;
  return changed;
}

/**
 * Keep an answer; the screen shows it at once.
 * @param {string} glass
 * @param {string} field
 * @param {any} value null removes it
 * @param {number} [ms] when it was noted, by the corrected clock; now if absent, but after what was noted last
 */
export async function note(glass, field, value, ms) {
  const open = seat.peek();
  if (!open) return;
  const { table } = open;
  const empty = emptyAnswer(table, glass, field);
  const answer = answers.peek().get(empty.id) ?? empty;
  // Somebody may have set the phone's clock back since the last value, which this one must replace.
  const entry = { value, ms: Math.max(ms ?? serverTime(open.clock), (current(answer)?.ms ?? 0) + 1) };
  answers.value = new Map(answers.peek()).set(empty.id, noted(answer, entry));
  committing.set(empty.id, (committing.get(empty.id) ?? 0) + 1);
  try {
    await keepNote({ table, glass, field, ...entry });
    isSaveFailing.value = false;
  } catch {
    isSaveFailing.value = true;
  } finally {
    committing.set(empty.id, (committing.get(empty.id) ?? 1) - 1);
  }
}

/**
 * @param {Seat | null} open
 * @param {string} glass
 * @param {boolean} isClosed whether its step takes no more answers, so that nobody could stop the timer
 * @returns {number | null} when the running finish timer was started, by the phone's clock
 */
export function timerStart(open, glass, isClosed) {
  const timer = open?.timer;
  return timer?.glass === glass && !isClosed ? timer.started_ms : null;
}

/** @param {string} glass @param {number | null} startedMs by the phone's clock; null stops the timer */
export function setTimer(glass, startedMs) {
  const open = seat.peek();
  if (!open) return;
  const timer = startedMs === null ? null : { glass, started_ms: startedMs };
  seat.value = { ...open, timer };
  updateSeat(open.table, () => ({ timer }));
}

/** @param {Seat} open @returns {boolean} whether the guest agreed to be remembered */
export function hasAgreed({ consent, guest }) {
  return consent ? consent.agreed : Boolean(guest.agreed_at);
}

/** Agree to be remembered, or withdraw that; kept on this phone first. @param {boolean} agreed */
export async function decideConsent(agreed) {
  const open = seat.peek();
  if (!open) return;
  // Two decisions within a millisecond keep their order.
  const ms = Math.max(serverTime(open.clock), (open.consent?.ms ?? 0) + 1);
  const consent = { agreed, ms, isSent: open.origin === 'qr' };
  seat.value = { ...open, consent };
  await updateSeat(open.table, () => ({ consent }));
}

/** @returns {Map<string, Answer[]>} of the open table, by glass */
export function answersByGlass() {
  /** @type {Map<string, Answer[]>} */
  const byGlass = new Map();
  for (const answer of answers.value.values())
    byGlass.set(answer.glass, [...(byGlass.get(answer.glass) ?? []), answer]);
  return byGlass;
}

/** @param {string} glass @returns {Record<string, any>} the values to show */
export function valuesOfGlass(glass) {
  return valuesOf(seat.value?.view['sheets']?.[glass], answersByGlass().get(glass) ?? []);
}

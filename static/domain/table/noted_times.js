/**
 * When answers that travel by QR codes were noted, and which of them the leader's notebook takes: what was noted before
 * its step closed, as the server decides it (webapp/group_tasting/answers.py). Pure.
 *
 * @typedef {{ value: any, ms: number }} Entry `ms`: by the guest's clock
 * @typedef {{ leader_ms: number, guest_ms: number }} FlightClocks the leader's clock when the flight was made, and the
 *   guest's clock when it was read
 */

/** Values of one field that follow each other faster count as one, such as the letters of a word. */
const APART_MS = 20_000;
const MAX_ENTRIES = 4;

/**
 * @param {Entry[]} entries of one field, oldest first
 * @returns {Entry[]} the last one, and earlier ones that may count if the step closed between them
 */
export function thinned(entries) {
  const kept = entries.filter(({ ms }, at) => {
    const next = entries[at + 1];
    return !next || next.ms - ms >= APART_MS;
  });
  return kept.slice(-MAX_ENTRIES);
}

/**
 * Return what the leader adds to a guest's clock. A phone's clock is trusted as far as it can be right: the flight was
 * read after it was made, and the answers were shown before they were read.
 * @param {FlightClocks | null} flight
 * @param {number | null} shownMs the guest's clock when the answers were shown
 * @param {number} nowMs the leader's clock when they were read
 * @returns {number} 0 where the guest's clock may be right
 */
export function clockOffset(flight, shownMs, nowMs) {
  const least = flight ? flight.leader_ms - flight.guest_ms : -Infinity;
  const most = shownMs === null ? Infinity : nowMs - shownMs;
  return Math.min(Math.max(0, least), most);
}

/**
 * @param {Entry[]} entries of one field, by the leader's clock
 * @param {number | null} closedMs when the step closed; null while it is open
 * @param {number} nowMs
 * @returns {{ entry: Entry | null, isLate: boolean }} the last one that counts; whether a later one does not
 */
export function lastInTime(entries, closedMs, nowMs) {
  const sorted = [...entries].sort((one, other) => one.ms - other.ms);
  const inTime = sorted.filter(({ ms }) => closedMs === null || Math.min(ms, nowMs) <= closedMs);
  return { entry: inTime.at(-1) ?? null, isLate: inTime.length < sorted.length };
}

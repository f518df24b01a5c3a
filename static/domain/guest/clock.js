// The server's time on a phone whose own clock may be wrong, at the earliest that the exchanges allow: what was noted
// before a step closed must not seem to be noted after it. The response with the shortest way tells it best.

/**
 * @typedef {{ offset_ms: number, way_ms: number, at_ms: number }} Correction `offset_ms`: least offset to add to the
 *   phone's clock, the true one is at most `way_ms` more; the time that the exchange took; the phone's time then
 */

/** A correction so old yields to one that took longer, because clocks drift. */
const OLD_MS = 10 * 60_000;
/** Two clocks that differ by no more have only drifted. */
const TOLERANCE_MS = 1_000;

/**
 * @param {Correction | null} correction
 * @param {number} sentMs the phone's clock when the request left
 * @param {number} receivedMs the phone's clock when the response came
 * @param {unknown} serverMs the server's clock between them
 * @returns {Correction | null}
 */
export function corrected(correction, sentMs, receivedMs, serverMs) {
  if (typeof serverMs !== 'number' || !Number.isFinite(serverMs) || receivedMs < sentMs) return correction;
  const way_ms = receivedMs - sentMs;
  const offset_ms = Math.round(serverMs - receivedMs);
  const later = correction ? offset_ms - correction.offset_ms : 0;
  // Somebody has set the phone's clock, since both cannot hold: what was measured before is void.
  const isVoid = correction && (later > correction.way_ms + TOLERANCE_MS || -later > way_ms + TOLERANCE_MS);
  const isBetter = !correction || way_ms <= correction.way_ms || receivedMs - correction.at_ms > OLD_MS;
  return isVoid || isBetter ? { offset_ms, way_ms, at_ms: receivedMs } : correction;
}

/** @param {Correction | null | undefined} correction @param {number} [now] @returns {number} the server's time */
export function serverTime(correction, now = Date.now()) {
  return Math.round(now + (correction?.offset_ms ?? 0));
}

// The server's time on a phone whose own clock may be wrong. The response with the shortest way tells it best.

/**
 * @typedef {{ offset_ms: number, way_ms: number, at_ms: number }} Correction offset to add to the phone's clock; the
 *   time that the exchange took; the phone's time then
 */

/** A correction so old yields to one that took longer, because clocks drift. */
const OLD_MS = 10 * 60_000;

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
  const offset_ms = Math.round(serverMs - (sentMs + receivedMs) / 2);
  // Somebody has set the phone's clock: what was measured before is void.
  const isVoid = correction && Math.abs(correction.offset_ms - offset_ms) > (correction.way_ms + way_ms) / 2 + 1_000;
  const isBetter = !correction || way_ms <= correction.way_ms || receivedMs - correction.at_ms > OLD_MS;
  return isVoid || isBetter ? { offset_ms, way_ms, at_ms: receivedMs } : correction;
}

/** @param {Correction | null | undefined} correction @param {number} [now] @returns {number} the server's time */
export function serverTime(correction, now = Date.now()) {
  return Math.round(now + (correction?.offset_ms ?? 0));
}

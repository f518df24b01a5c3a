/**
 * Correct a clock no more than an exchange with the server proves: the request left before the server's time, and the
 * answer came after it.
 * @param {number} serverMs the server's time between them
 * @param {number} sentMs the phone's clock when the request left
 * @param {number} receivedMs the phone's clock when the answer came
 * @returns {number} ms to add to the phone's clock; 0 where it may be right
 */
export function leastCorrection(serverMs, sentMs, receivedMs) {
  return Math.round(Math.min(Math.max(0, serverMs - receivedMs), serverMs - sentMs));
}

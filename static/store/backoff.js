import { timing } from '../config.js';

/**
 * Return the ms to wait after a number of failures in a row: doubled each time, up to a maximum.
 * Jitter keeps phones that lost the same server from returning at the same time.
 * @param {number} failures at least 1
 */
export function backoffMs(failures) {
  const delay_ms = Math.min(timing.backoff_max_ms, timing.backoff_first_ms * 2 ** (failures - 1));
  return delay_ms * (0.5 + Math.random() / 2);
}

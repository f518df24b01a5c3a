import { timing } from '../config.js';

/**
 * Return the ms to wait after a number of failures in a row: doubled each time, up to a maximum.
 * Jitter keeps phones that lost the same server from returning at the same time.
 * @param {number} failures at least 1
 * @param {{ first_ms: number, max_ms: number }} [limits] usually those of the sync
 */
export function backoffMs(failures, { first_ms, max_ms } = syncLimits()) {
  return Math.min(max_ms, first_ms * 2 ** (failures - 1)) * (0.5 + Math.random() / 2);
}

function syncLimits() {
  return { first_ms: timing.backoff_first_ms, max_ms: timing.backoff_max_ms };
}

/**
 * Recent writes of this page count as drafts: a value that replaces one leaves no revision. An
 * older value becomes a revision even if it was never sent. Age is measured by the phone's time,
 * because the record's clock does not advance while it is ahead.
 */
import { timing } from '../config.js';

/** @type {Map<string, number>} time at which this page issued each clock, oldest first */
const committedAt = new Map();

/** @param {string} clock of a save that was just stored */
export function noteCommit(clock) {
  for (const [old, at] of committedAt) {
    if (isRecent(at)) break;
    committedAt.delete(old);
  }
  committedAt.set(clock, Date.now());
}

/** @param {string} clock of a value that is being replaced */
export function isRecentWrite(clock) {
  const at = committedAt.get(clock);
  return at !== undefined && isRecent(at);
}

/** @param {number} at a time in the future is not trusted */
function isRecent(at) {
  const age = Date.now() - at;
  return age >= 0 && age < timing.draft_ms;
}

/**
 * What this page wrote a moment ago is still being worked on: whoever writes over it corrects a draft, and nothing
 * is kept of
 * it. What has stood longer is an earlier version, also where it was never sent. By the phone's own time, not by
 * the book's
 * clock, which stands still while it is ahead.
 */
import { timing } from '../config.js';

/** @type {Map<string, number>} when each clock was given out by this page, the oldest first */
const committedAt = new Map();

/** @param {string} clock of a save that has just been stored */
export function noteCommit(clock) {
  for (const [old, at] of committedAt) {
    if (isRecent(at)) break;
    committedAt.delete(old);
  }
  committedAt.set(clock, Date.now());
}

/** @param {string} clock of a value that is being written over */
export function isRecentWrite(clock) {
  const at = committedAt.get(clock);
  return at !== undefined && isRecent(at);
}

/** @param {number} at a time to come is none that can be trusted */
function isRecent(at) {
  const age = Date.now() - at;
  return age >= 0 && age < timing.draft_ms;
}

// The time of a tasting as it is typed: without an offset, by the wall clock of the place where it was tasted.
import { timestamp } from '../../lib/datetime.js';

const TO_THE_MINUTE = 16;
const TO_THE_SECOND = 19;

/** @param {string} typed such as 2026-12-31T23:50 */
export function isTime(typed) {
  return !Number.isNaN(Date.parse(typed));
}

/**
 * Return the time with its offset. That of the time before stays, because the phone may have travelled since; where the
 * phone has the same, its own counts, because it changes with summer time.
 * @param {string} typed such as 2026-12-31T23:50
 * @param {string | null | undefined} before RFC 3339
 * @returns {string} RFC 3339
 */
export function typedTime(typed, before) {
  const hasTravelled = before && offsetHere(before) !== offsetOf(before);
  return `${typed.slice(0, TO_THE_MINUTE)}:00${hasTravelled ? offsetOf(before) : offsetHere(typed)}`;
}

/** @param {string} moment */
function offsetHere(moment) {
  return timestamp(new Date(moment)).slice(TO_THE_SECOND);
}

/** @param {string} moment RFC 3339, perhaps with a fraction of a second */
function offsetOf(moment) {
  return moment.slice(TO_THE_SECOND).replace(/^\.\d+/, '');
}

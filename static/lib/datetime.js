/**
 * Format a time as RFC 3339 with the phone's own offset, to the second.
 * @param {Date} [date]
 * @returns {string} such as 2026-11-25T19:40:05+01:00
 */
export function timestamp(date = new Date()) {
  const offsetMin = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + offsetMin * 60_000).toISOString().slice(0, 19);
  const [hours, minutes] = [Math.floor(Math.abs(offsetMin) / 60), Math.abs(offsetMin) % 60];
  return `${local}${offsetMin < 0 ? '-' : '+'}${twoDigits(hours)}:${twoDigits(minutes)}`;
}

/**
 * @param {Date} [date]
 * @returns {string} the phone's local date, YYYY-MM-DD
 */
export function today(date = new Date()) {
  return timestamp(date).slice(0, 10);
}

/**
 * Read the wall clock of the place where it was written, whatever zone the phone is in now.
 * @param {string} moment RFC 3339
 */
export function localDateTime(moment) {
  return moment.slice(0, 19);
}

/** @param {number} value */
function twoDigits(value) {
  return String(value).padStart(2, '0');
}

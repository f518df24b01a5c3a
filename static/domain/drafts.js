// What a note holds while it is not saved yet.

/** @typedef {import('../store/record.js').Fields} Fields */

/** Fields that a new pour takes over or that the app fills in. */
const FILLED_IN = new Set(['tasted_at', 'bottle', 'visit', 'place', 'pour_ml']);

/** Tell whether nothing was entered. @param {Fields} fields of a tasting or a bottle */
export function isBlank(fields) {
  return Object.entries(fields).every(([name, value]) => FILLED_IN.has(name) || (value ?? null) === null);
}

/** @param {Fields} fields of a tasting */
export function isUnfinished({ closed_at, example }) {
  return !closed_at && !example;
}

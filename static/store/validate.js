/**
 * Whether the fields of a record are what static/spec says. Twin of webapp/records/check.py over
 * tests/vectors/record.json. Answers are codes; the words for them are in static/words.
 *
 * @typedef {import('./validators.js').Fault} Fault
 * @typedef {Record<string, Fault[]>} Faults faults by field name
 */
import record from '../spec/record.json' with { type: 'json' };
import { checkOfType } from './validators.js';

/** `code`: unknown_kind or bad_fields; `errors`: `{field: [{code, bound}]}`. */
export class CheckError extends Error {
  /** @param {'unknown_kind' | 'bad_fields'} code @param {Faults} [errors] */
  constructor(code, errors = {}) {
    super(`${code} ${JSON.stringify(errors)}`);
    this.name = 'CheckError';
    this.code = code;
    this.errors = errors;
  }
}

/** @type {Map<string, Map<string, (value: unknown) => Fault | null>>} */
const checks = new Map(Object.entries(record.kinds).map(([kind, { fields }]) => [
  kind, new Map(Object.entries(fields).map(([name, shape]) => [name, checkOfType(shape)])),
]));

/**
 * @param {string} kind
 * @param {Record<string, unknown>} fields
 * @returns {Faults} empty when all is well; a field that the spec does not name passes (a newer client wrote it)
 */
export function checkFields(kind, fields) {
  const known = checks.get(kind);
  if (!known) throw new CheckError('unknown_kind');
  /** @type {Faults} */
  const errors = {};
  for (const [name, value] of Object.entries(fields)) {
    const fault = value === null || value === undefined ? null : known.get(name)?.(value);
    if (fault) errors[name] = [fault];
  }
  return errors;
}

/**
 * @param {string} kind
 * @param {Record<string, unknown>} fields
 * @throws {CheckError}
 */
export function insist(kind, fields) {
  const errors = checkFields(kind, fields);
  if (Object.keys(errors).length > 0) throw new CheckError('bad_fields', errors);
}

/**
 * Validates a record's fields against static/spec. Port of webapp/records/validate.py; shared cases
 * in tests/vectors/record.json. Results are codes; static/words has their texts.
 *
 * @typedef {import('./validators.js').FieldError} FieldError
 * @typedef {Record<string, FieldError[]>} FieldErrors errors by field name
 */
import record from '../spec/record.json' with { type: 'json' };
import { validatorFor } from './validators.js';

/** `code`: unknown_kind or bad_fields; `errors`: `{field: [{code, bound}]}`. */
export class ValidationError extends Error {
  /** @param {'unknown_kind' | 'bad_fields'} code @param {FieldErrors} [errors] */
  constructor(code, errors = {}) {
    super(`${code} ${JSON.stringify(errors)}`);
    this.name = 'ValidationError';
    this.code = code;
    this.errors = errors;
  }
}

/** @type {Map<string, Map<string, (value: unknown) => FieldError | null>>} */
const checks = new Map(
  Object.entries(record.kinds).map(([kind, { fields }]) => [
    kind,
    new Map(Object.entries(fields).map(([name, shape]) => [name, validatorFor(shape)])),
  ]),
);
addSharedFields();

/** Give a kind with `fields_of` the validators of the kind named there. */
function addSharedFields() {
  for (const [kind, entry] of Object.entries(record.kinds)) {
    if (!('fields_of' in entry)) continue;
    for (const [name, check] of checks.get(entry.fields_of) ?? [])
      if (!entry.without.includes(name)) checks.get(kind)?.set(name, check);
  }
}

/**
 * @param {string} kind
 * @param {Record<string, unknown>} fields
 * @returns {FieldErrors} empty if valid; a field that is not in the spec passes, because a newer
 *   client may have written it
 */
export function validateFields(kind, fields) {
  const known = checks.get(kind);
  if (!known) throw new ValidationError('unknown_kind');
  /** @type {FieldErrors} */
  const errors = {};
  for (const [name, value] of Object.entries(fields)) {
    const error = value === null || value === undefined ? null : known.get(name)?.(value);
    if (error) errors[name] = [error];
  }
  return errors;
}

/**
 * @param {string} kind
 * @param {Record<string, unknown>} fields
 * @throws {ValidationError}
 */
export function assertValid(kind, fields) {
  const errors = validateFields(kind, fields);
  if (Object.keys(errors).length > 0) throw new ValidationError('bad_fields', errors);
}

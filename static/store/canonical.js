/**
 * Serialize a JSON value canonically (RFC 8785), so that equal values have equal texts on every
 * device and the server.
 * @param {unknown} value a JSON value
 * @returns {string}
 */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (value === null || typeof value !== 'object') return JSON.stringify(value);
  const entries = /** @type {Record<string, unknown>} */ (value);
  const pairs = Object.keys(entries)
    .sort()
    .map((key) => `${JSON.stringify(key)}:${canonical(entries[key])}`);
  return `{${pairs.join(',')}}`;
}

/** @param {unknown} one @param {unknown} other */
export function isEqual(one, other) {
  return one === other || canonical(one) === canonical(other);
}

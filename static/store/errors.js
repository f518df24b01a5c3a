/** What went wrong below the tables, as one code that a screen can speak of. */

/**
 * `code`: full (no room left), no_storage (the browser keeps nothing for this page), connection_lost (to be loaded
 * again),
 * outdated (the tables are of a newer version of the app).
 */
export class StoreError extends Error {
  /** @param {'full' | 'no_storage' | 'connection_lost' | 'outdated'} code @param {unknown} cause */
  constructor(code, cause) {
    super(code, { cause });
    this.name = 'StoreError';
    this.code = code;
  }
}

const LOST = ['InvalidStateError', 'DatabaseClosedError', 'UnknownError'];
const ABSENT = ['MissingAPIError', 'MissingAPI', 'SecurityError', 'OpenFailedError', 'NotAllowedError'];

/** @param {unknown} error whether the connection to the tables is gone, and nobody has tried to open it again */
export function isConnectionLost(error) {
  if (error instanceof StoreError || isQuotaExceeded(error)) return false;
  const found = names(error);
  return isAborted(found) || found.some((name) => LOST.includes(name));
}

/**
 * Nothing of ours breaks off what it has begun at the tables, so an AbortError is the system's. An OpenFailedError
 * that has no
 * cause means that somebody else is opening them at this moment.
 * @param {string[]} found
 */
function isAborted(found) {
  return found.includes('AbortError') || found.at(-1) === 'OpenFailedError';
}

/** @param {unknown} error whether the phone has no room left */
export function isQuotaExceeded(error) {
  return names(error).includes('QuotaExceededError');
}

/**
 * @param {unknown} error
 * @returns {unknown} a StoreError for trouble of the tables; anything else as it is
 */
export function storeError(error) {
  const found = names(error);
  if (isQuotaExceeded(error)) return new StoreError('full', error);
  if (found.includes('VersionError')) return new StoreError('outdated', error);
  if (isAborted(found)) return new StoreError('connection_lost', error);
  if (found.some((name) => ABSENT.includes(name))) return new StoreError('no_storage', error);
  if (found.some((name) => LOST.includes(name))) return new StoreError('connection_lost', error);
  return error;
}

/**
 * The names along a chain of causes: a full disk arrives wrapped in an aborted transaction or a bulk failure.
 * @param {any} error
 * @returns {string[]}
 */
function names(error) {
  /** @type {string[]} */
  const found = [];
  for (
    let at = error;
    at && typeof at === 'object' && found.length < 8;
    at = at.inner ?? at.failures?.[0] ?? at.cause
  ) {
    found.push(String(at.name));
  }
  return found;
}

/** Maps errors of IndexedDB to one code for the screens. */

/**
 * `code`: full (no space left), no_storage (the browser offers no IndexedDB), connection_lost
 * (reload), outdated (the schema is that of a newer version).
 */
export class StoreError extends Error {
  /** @param {'full' | 'no_storage' | 'connection_lost' | 'outdated'} code @param {unknown} cause */
  constructor(code, cause) {
    super(code, { cause });
    this.name = 'StoreError';
    this.code = code;
  }
}

const CONNECTION_LOST_NAMES = ['InvalidStateError', 'DatabaseClosedError', 'UnknownError'];
const ABSENT = ['MissingAPIError', 'MissingAPI', 'SecurityError', 'OpenFailedError', 'NotAllowedError'];

/** @param {unknown} error @returns {boolean} whether the connection was lost and not replaced yet */
export function isConnectionLost(error) {
  if (error instanceof StoreError || isQuotaExceeded(error)) return false;
  const found = names(error);
  return isAborted(found) || found.some((name) => CONNECTION_LOST_NAMES.includes(name));
}

/**
 * Tell whether the system aborted the transaction; the app never does. An OpenFailedError without a
 * cause means that another call is opening the database.
 * @param {string[]} found
 */
function isAborted(found) {
  return found.includes('AbortError') || found.at(-1) === 'OpenFailedError';
}

/** @param {unknown} error @returns {boolean} whether the storage is full */
export function isQuotaExceeded(error) {
  return names(error).includes('QuotaExceededError');
}

/**
 * @param {unknown} error
 * @returns {unknown} a StoreError if it comes from IndexedDB; other errors unchanged
 */
export function storeError(error) {
  const found = names(error);
  if (isQuotaExceeded(error)) return new StoreError('full', error);
  if (found.includes('VersionError')) return new StoreError('outdated', error);
  if (isAborted(found)) return new StoreError('connection_lost', error);
  if (found.some((name) => ABSENT.includes(name))) return new StoreError('no_storage', error);
  if (found.some((name) => CONNECTION_LOST_NAMES.includes(name))) return new StoreError('connection_lost', error);
  return error;
}

/**
 * Collect the names along a chain of causes, because a quota error arrives wrapped in an aborted
 * transaction or a bulk error.
 * @param {any} error
 * @returns {string[]}
 */
function names(error) {
  /** @type {string[]} */
  const found = [];
  for (let at = error; at && found.length < 8; at = at.inner ?? at.failures?.[0] ?? at.cause) {
    found.push(String(at.name));
  }
  return found;
}

import assert from 'node:assert/strict';
import test from 'node:test';
import { StoreError, isConnectionLost, isQuotaExceeded, storeError } from '../../static/store/errors.js';

/** @param {string} name @param {object} [more] */
const named = (name, more = {}) => Object.assign(new Error(name), { name }, more);

/** @param {unknown} error */
const codeOf = (error) => /** @type {any} */ (storeError(error)).code;

test('an error of the database gets a code', () => {
  const codes = {
    QuotaExceededError: 'full',
    VersionError: 'outdated',
    AbortError: 'connection_lost',
    InvalidStateError: 'connection_lost',
    DatabaseClosedError: 'connection_lost',
    UnknownError: 'connection_lost',
    MissingAPIError: 'no_storage',
    MissingAPI: 'no_storage',
    SecurityError: 'no_storage',
    NotAllowedError: 'no_storage',
  };
  for (const [name, code] of Object.entries(codes)) {
    const cause = named(name);
    const error = /** @type {StoreError} */ (storeError(cause));
    assert.ok(error instanceof StoreError);
    assert.deepEqual([error.name, error.code, error.message, error.cause], ['StoreError', code, code, cause]);
  }
});

test('another error stays as it is', () => {
  for (const error of [new TypeError('other'), undefined, null, 'text']) assert.equal(storeError(error), error);
});

test('the cause of an error decides, wherever it is', () => {
  const quota = named('QuotaExceededError');
  for (const wrapped of [
    named('AbortError', { inner: quota }),
    named('BulkError', { failures: [quota] }),
    named('AbortError', { cause: named('AbortError', { cause: quota }) }),
    named('AbortError', { failures: [], cause: quota }),
  ]) {
    assert.equal(isQuotaExceeded(wrapped), true);
    assert.equal(codeOf(wrapped), 'full');
    assert.equal(isConnectionLost(wrapped), false);
  }
  assert.equal(isQuotaExceeded(named('AbortError')), false);
});

test('an opening without a cause is another opening', () => {
  const other = named('OpenFailedError');
  assert.deepEqual([codeOf(other), isConnectionLost(other)], ['connection_lost', true]);
  const refused = named('OpenFailedError', { inner: named('SecurityError') });
  assert.deepEqual([codeOf(refused), isConnectionLost(refused)], ['no_storage', false]);
  const unknown = named('OpenFailedError', { inner: named('NotFoundError') });
  assert.deepEqual([codeOf(unknown), isConnectionLost(unknown)], ['no_storage', false]);
});

test('a lost connection is told from other errors', () => {
  for (const name of ['AbortError', 'InvalidStateError', 'DatabaseClosedError', 'UnknownError']) {
    assert.equal(isConnectionLost(named(name)), true);
    assert.equal(isConnectionLost(new StoreError('connection_lost', named(name))), false, 'it was replaced already');
  }
  assert.equal(isConnectionLost(named('BulkError', { failures: [named('UnknownError')] })), true);
  assert.equal(isConnectionLost(named('ConstraintError')), false);
  assert.equal(isConnectionLost(null), false);
});

test('a chain of causes that never ends is read to the eighth', () => {
  const chain = named('Outer');
  chain.cause = chain;
  assert.equal(storeError(chain), chain);
  const nested = (/** @type {number} */ depth) =>
    Array.from({ length: depth }).reduce((cause) => named('Outer', { cause }), named('QuotaExceededError'));
  assert.deepEqual([isQuotaExceeded(nested(7)), isQuotaExceeded(nested(8))], [true, false]);
});

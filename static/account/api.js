/**
 * Sign-in, sign-out, device list and pairing. None of these deletes notes on the phone.
 *
 * @typedef {import('../store/owner.js').Owner} Owner
 * @typedef {{ id: string, name: string, made_at: string, last_seen: string, last_synced: string | null, current:
 *   boolean }} Device
 * @typedef {{ id: string, url: string, svg: string, until: string, reachable: boolean }} Offer
 * @typedef {{ state: 'open' | 'claimed' | 'allowed', code: string | null, name: string | null }} Pairing
 */
import { databaseName, nameForOwner, setActiveDatabase } from '../store/database_name.js';
import { keyHeader } from '../store/browser_key.js';
import { bindOwner, setAuthIssue, ownerHeader, localOwner } from '../store/owner.js';
import { copyNotebook } from './copy_notebook.js';
import { eraseDatabases } from './phone_databases.js';
import { StoreError, storeError } from '../store/errors.js';
import { otherDatabaseOf } from '../store/other_databases.js';
import { retryAfter } from '../lib/retry_after.js';
import { syncNow } from '../sync/index.js';
import { timing } from '../config.js';

const NAMES = 'devices|sign-out|passphrase|confirm|news|erase|group-tastings';
/** Paths of the API that concern one owner. Their requests name that owner. */
const OF_AN_OWNER = new RegExp(`^/api/(${NAMES}|passkeys(?!/sign-in)|pairings($|/[0-9a-f]{32}))`);

/** Paths whose answer says only that it is done; of any other one, what was cut off on the way counts as none. */
const DONE_ONLY = /^\/api\/(sign-out|passphrase|confirm|erase)$/;

/**
 * `code` is the server's problem code, or no_network. `wait_s` is the server's Retry-After, or 0. `status` is that of
 * the response to `apiRequest()`, or 0.
 */
export class AccountError extends Error {
  /** @param {string} code @param {number} [wait_s] @param {number} [status] */
  constructor(code, wait_s = 0, status = 0) {
    super(code);
    this.name = 'AccountError';
    this.code = code;
    this.wait_s = wait_s;
    this.status = status;
  }
}

/**
 * @returns {Promise<{ owner: Owner, device: string | null }>} device is null when the request comes
 *   from the server's own machine
 * @throws {AccountError}
 */
export async function me() {
  const found = await apiRequest('GET', '/api/me');
  const here = await localOwner();
  // A notebook that was created beside another one knows only the owner's id.
  if (here && here.uid === found.owner.uid && here.name !== found.owner.name) await bindOwner(found.owner);
  return found;
}

/**
 * @param {string} name
 * @param {string} passphrase
 * @param {string} deviceName
 * @returns {Promise<'here' | 'beside'>} see `afterSignIn`
 * @throws {AccountError}
 */
export async function signIn(name, passphrase, deviceName) {
  const { owner } = await apiRequest('POST', '/api/sign-in', { name, passphrase, device_name: deviceName });
  return afterSignIn(owner);
}

/** @throws {AccountError} */
export async function signOut() {
  await apiRequest('POST', '/api/sign-out');
  syncNow();
}

/**
 * Change the passphrase. The server signs out every other device of the owner.
 * @param {string} current empty if none is set
 * @param {string} newPassphrase
 * @param {string} deviceName
 * @throws {AccountError} its `code` tells a passphrase that is too easy to guess
 */
export async function changePassphrase(current, newPassphrase, deviceName) {
  await apiRequest('POST', '/api/passphrase', { current, new: newPassphrase, device_name: deviceName });
}

/**
 * Confirm the passphrase before an action that the server protects with it.
 * @param {string} passphrase
 * @throws {AccountError}
 */
export async function confirmPassphrase(passphrase) {
  await apiRequest('POST', '/api/confirm', { passphrase });
}

/**
 * @returns {Promise<{ name: string, file: Blob }>} the archive of the whole notebook
 * @throws {AccountError}
 */
export async function exported() {
  const response = await fetch('/api/export', {
    cache: 'no-store',
    redirect: 'error',
    headers: await ownerHeader(),
  }).catch(() => null);
  const type = response?.headers.get('Content-Type') ?? '';
  if (response?.ok && /zip/.test(type)) {
    const name = /filename=([\w.-]+)/.exec(response.headers.get('Content-Disposition') ?? '')?.[1] ?? 'second-nose.zip';
    const file = await response.blob().catch(() => null);
    if (file) return { name, file };
  }
  const problem = response && /json/.test(type) ? await response.json().catch(() => null) : null;
  throw new AccountError(String(problem?.code ?? 'no_network'), retryAfter(response));
}

/** @typedef {{ kind: import('../store/record.js').Kind, id: string, code: string }} SkippedRecord not merged */
/**
 * @typedef {{ records: number, revisions: number, photos: number, skipped?: SkippedRecord[] }} ImportResult how much
 *   was new; an older server does not say what it skipped
 */

/**
 * Merge an archive into the notebook on the server.
 * @param {Blob} file
 * @returns {Promise<ImportResult>}
 * @throws {AccountError}
 */
export async function importArchive(file) {
  const response = await fetch('/api/import', {
    method: 'POST',
    cache: 'no-store',
    redirect: 'error',
    headers: { ...(await ownerHeader()), 'Content-Type': 'application/zip' },
    body: file,
  }).catch(() => null);
  const isJson = /json/.test(response?.headers.get('Content-Type') ?? '');
  const document = response && isJson ? await response.json().catch(() => null) : null;
  if (response?.ok && document) return document;
  throw new AccountError(String(document?.code ?? 'no_network'), retryAfter(response));
}

/** @returns {Promise<Device[]>} @throws {AccountError} */
export async function devices() {
  return (await apiRequest('GET', '/api/devices')).devices;
}

/** @param {string} id @throws {AccountError} */
export async function revoke(id) {
  await apiRequest('DELETE', `/api/devices/${id}`);
}

/** @returns {Promise<Offer>} @throws {AccountError} */
export function offerPairing() {
  return apiRequest('POST', '/api/pairings');
}

/** @param {string} id @returns {Promise<Pairing>} @throws {AccountError} */
export function getPairing(id) {
  return apiRequest('GET', `/api/pairings/${id}`);
}

/** @param {string} id @param {string} code @throws {AccountError} */
export async function approvePairing(id, code) {
  await apiRequest('POST', `/api/pairings/${id}/allow`, { code });
}

/** @param {string} id @throws {AccountError} */
export async function cancelPairing(id) {
  await apiRequest('DELETE', `/api/pairings/${id}`);
}

/**
 * @param {string} secret read from the QR code
 * @param {string} deviceName
 * @returns {Promise<{ code: string, claim: string }>}
 * @throws {AccountError}
 */
export function claimPairing(secret, deviceName) {
  return apiRequest('POST', '/api/pairings/claim', { secret, device_name: deviceName });
}

/**
 * @param {string} claim
 * @returns {Promise<'waiting' | 'here' | 'beside'>}
 * @throws {AccountError}
 */
export async function finishPairing(claim) {
  const { owner, waiting } = await apiRequest('POST', '/api/pairings/finish', { claim });
  return waiting ? 'waiting' : afterSignIn(owner);
}

/** @param {string} claim @throws {AccountError} */
export async function leavePairing(claim) {
  await apiRequest('POST', '/api/pairings/leave', { claim });
}

/**
 * Open the notebook of the owner who has just signed in. A notebook without an owner is bound and
 * uploaded; if the owner has another one on this phone, its notes move there. A notebook of somebody
 * else stays in its own database, and another one becomes active.
 * @param {Owner} owner
 * @returns {Promise<'here' | 'beside'>} beside: reload the page to open the other database
 * @throws {AccountError} `full` if the phone has no room for it; all notes stay where they are
 */
export async function afterSignIn(owner) {
  setAuthIssue(null);
  try {
    return await openNotebookOf(owner);
  } catch (cause) {
    const error = storeError(cause);
    throw error instanceof StoreError ? new AccountError(error.code) : error;
  }
}

/** @param {Owner} owner @returns {Promise<'here' | 'beside'>} */
async function openNotebookOf(owner) {
  const other = await otherDatabaseOf(owner.uid);
  if (!other && (await bindOwner(owner))) {
    syncNow();
    return 'here';
  }
  const here = await localOwner();
  const isMoved = other !== null && (here === null || here.uid === owner.uid);
  if (isMoved) {
    await copyNotebook(other);
    // If the page is closed before the deletion, the copy that is left has an owner, who finds and erases it.
    await bindOwner(owner);
  }
  setActiveDatabase(other ?? nameForOwner(owner.uid));
  if (isMoved) await eraseDatabases([databaseName]);
  return 'beside';
}

/**
 * @param {'GET' | 'POST' | 'DELETE'} method
 * @param {string} path
 * @param {unknown} [body]
 * @returns {Promise<any>}
 */
export async function apiRequest(method, path, body) {
  const authHeaders = OF_AN_OWNER.test(path) ? await ownerHeader() : keyHeader();
  const response = await fetch(path, {
    method,
    cache: 'no-store',
    redirect: 'error',
    signal: AbortSignal.timeout(timing.request_timeout_ms),
    headers: {
      Accept: 'application/json',
      ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
      ...authHeaders,
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  }).catch(() => null);
  if (!response || !/json/.test(response.headers.get('Content-Type') ?? '')) throw new AccountError('no_network');
  const document = await response.json().catch(() => null);
  if (response.ok && (document || DONE_ONLY.test(path))) return document;
  const code = document?.errors?.new?.[0]?.code ?? document?.code ?? 'no_network';
  throw new AccountError(String(code), retryAfter(response), response.status);
}

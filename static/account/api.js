/**
 * Signing in and out, the devices that are signed in, and pairing. Notes stay on the phone whatever happens here.
 *
 * @typedef {import('../store/owner.js').Owner} Owner
 * @typedef {{ id: string, name: string, made_at: string, last_seen: string, last_synced: string | null, current:
 *   boolean }} Device
 * @typedef {{ id: string, url: string, svg: string, until: string, reachable: boolean }} Offer
 * @typedef {{ state: 'open' | 'claimed' | 'allowed', code: string | null, name: string | null }} Pairing
 */
import { databaseName, isOurDatabase, nameForOwner, setActiveDatabase, ownerFromName } from '../store/database_name.js';
import { keyHeader } from '../store/browser_key.js';
import { bindOwner, setAuthIssue, ownerHeader, localOwner } from '../store/owner.js';
import { countRecordsIn, ownerOfDatabase } from './parked_databases.js';
import { syncNow } from '../sync/index.js';
import { timing } from '../config.js';

/** What is asked of somebody's account; the rest is asked before anybody is signed in. */
const OF_AN_OWNER = /^\/api\/(devices|passphrase|confirm|news|erase|passkeys(?!\/sign-in)|pairings($|\/[0-9a-f]{32}))/;

/** `code` is the server's, or no_network; `wait_s` says when to try again, where the server says so. */
export class AccountError extends Error {
  /** @param {string} code @param {number} [wait_s] */
  constructor(code, wait_s = 0) {
    super(code);
    this.name = 'AccountError';
    this.code = code;
    this.wait_s = wait_s;
  }
}

/**
 * @returns {Promise<{ owner: Owner, device: string | null }>} device is null at the machine itself
 * @throws {AccountError}
 */
export function me() {
  return ask('GET', '/api/me');
}

/**
 * @param {string} name
 * @param {string} passphrase
 * @param {string} deviceName
 * @returns {Promise<'here' | 'beside'>} see `afterSignIn`
 * @throws {AccountError}
 */
export async function signIn(name, passphrase, deviceName) {
  const { owner } = await ask('POST', '/api/sign-in', { name, passphrase, device_name: deviceName });
  return afterSignIn(owner);
}

/** @throws {AccountError} */
export async function signOut() {
  await ask('POST', '/api/sign-out');
  syncNow();
}

/**
 * Every other device of the owner is signed out by it; this one stays.
 * @param {string} current empty where there is none yet
 * @param {string} fresh
 * @param {string} deviceName
 * @throws {AccountError} also with a code of its own for a passphrase that is too easy to guess
 */
export async function changePassphrase(current, fresh, deviceName) {
  await ask('POST', '/api/passphrase', { current, new: fresh, device_name: deviceName });
}

/** Shows the passphrase again, for what the server asks it for. @param {string} passphrase @throws {AccountError} */
export async function confirmPassphrase(passphrase) {
  await ask('POST', '/api/confirm', { passphrase });
}

/** @returns {Promise<{ name: string, file: Blob }>} the whole book as the server has it @throws {AccountError} */
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
  const told = response && /json/.test(type) ? await response.json().catch(() => null) : null;
  throw new AccountError(String(told?.code ?? 'no_network'), Number(response?.headers.get('Retry-After') ?? 0));
}

/** @returns {Promise<Device[]>} @throws {AccountError} */
export async function devices() {
  return (await ask('GET', '/api/devices')).devices;
}

/** @param {string} id @throws {AccountError} */
export async function revoke(id) {
  await ask('DELETE', `/api/devices/${id}`);
}

/** @returns {Promise<Offer>} @throws {AccountError} */
export function offerPairing() {
  return ask('POST', '/api/pairings');
}

/** @param {string} id @returns {Promise<Pairing>} @throws {AccountError} */
export function getPairing(id) {
  return ask('GET', `/api/pairings/${id}`);
}

/** @param {string} id @param {string} code @throws {AccountError} */
export async function approvePairing(id, code) {
  await ask('POST', `/api/pairings/${id}/allow`, { code });
}

/** @param {string} id @throws {AccountError} */
export async function cancelPairing(id) {
  await ask('DELETE', `/api/pairings/${id}`);
}

/**
 * @param {string} secret what stood in the QR code
 * @param {string} deviceName
 * @returns {Promise<{ code: string, claim: string }>}
 * @throws {AccountError}
 */
export function claimPairing(secret, deviceName) {
  return ask('POST', '/api/pairings/claim', { secret, device_name: deviceName });
}

/** @param {string} claim @returns {Promise<'waiting' | 'here' | 'beside'>} @throws {AccountError} */
export async function finishPairing(claim) {
  const { owner, waiting } = await ask('POST', '/api/pairings/finish', { claim });
  return waiting ? 'waiting' : afterSignIn(owner);
}

/**
 * Somebody is signed in now. A book that is nobody's becomes theirs and goes up; another's book is put aside untouched.
 * @param {Owner} owner
 * @returns {Promise<'here' | 'beside'>} beside: the page is to be loaded again, to open their own book
 */
export async function afterSignIn(owner) {
  setAuthIssue(null);
  if (await bindOwner(owner)) {
    syncNow();
    return 'here';
  }
  setActiveDatabase(await databaseOf(owner.uid));
  return 'beside';
}

/** @returns {Promise<{ owner: Owner, unsent: number }[]>} books of others that this phone keeps aside */
export async function listParkedDatabases() {
  const names = (await databaseNames()).filter((name) => name !== databaseName);
  const found = await Promise.all(names.map(countRecordsIn));
  return found.flatMap((one) => (one.owner ? [{ owner: one.owner, unsent: one.unsent }] : []));
}

/** @param {string} uid @returns {Promise<string>} the database in which this owner's book lies, or is to lie */
async function databaseOf(uid) {
  for (const name of await databaseNames()) {
    const owner = name === databaseName ? await localOwner() : await ownerOfDatabase(name);
    if ((owner?.uid ?? ownerFromName(name)) === uid) return name;
  }
  return nameForOwner(uid);
}

/** @returns {Promise<string[]>} */
async function databaseNames() {
  const found = (await indexedDB.databases?.()) ?? [];
  return [...new Set([databaseName, ...found.map(({ name }) => name ?? '')])].filter(isOurDatabase);
}

/**
 * @param {'GET' | 'POST' | 'DELETE'} method
 * @param {string} path
 * @param {unknown} [body]
 * @returns {Promise<any>}
 */
export async function ask(method, path, body) {
  const mine = OF_AN_OWNER.test(path) ? await ownerHeader() : keyHeader();
  const response = await fetch(path, {
    method,
    cache: 'no-store',
    redirect: 'error',
    signal: AbortSignal.timeout(timing.request_timeout_ms),
    headers: {
      Accept: 'application/json',
      ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
      ...mine,
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  }).catch(() => null);
  if (!response || !/json/.test(response.headers.get('Content-Type') ?? '')) throw new AccountError('no_network');
  const document = await response.json().catch(() => null);
  if (response.ok) return document;
  const code = document?.errors?.new?.[0]?.code ?? document?.code ?? 'no_network';
  throw new AccountError(String(code), Number(response.headers.get('Retry-After') ?? 0));
}

/**
 * Whose book this is: a book is bound to the first owner whom the server names, before anything is sent, and every
 * request says
 * whose it is. The server answers 409 when somebody else is signed in, so that notes of two people never meet.
 *
 * @typedef {{ uid: string, name: string }} Owner
 * @typedef {Owner | 'signin' | 'no_network' | 'older'} OwnerLookup older: a server that does not name owners
 */
import { signal } from '../vendor/signals-core.js';
import { databaseName, ownerFromName } from './database_name.js';
import { keyHeader } from './browser_key.js';
import { timing } from '../config.js';
import { withReconnect, transaction, db } from './database.js';

/** Why the server says that a sign-in has ended. */
const ENDS = ['revoked', 'passphrase_changed', 'upgraded', 'erased'];

/**
 * What stands between this phone and the server's copy: somebody else's sign-in, or why this device's own has ended.
 */
export const authIssue = signal(/** @type {{ other: Owner | null, ended: string }} */ ({ other: null, ended: '' }));

/** @returns {Promise<Owner | null>} the name is empty where only the id is known yet */
export async function localOwner() {
  const row = await withReconnect(() => db.meta.get('owner'));
  if (row) return { uid: row.uid, name: row.owner_name };
  const uid = ownerFromName(databaseName);
  return uid ? { uid, name: '' } : null;
}

/**
 * @returns {Promise<Record<string, string>>} the headers that say whose book a request is about, and which browser
 *   asks
 */
export async function ownerHeader() {
  const owner = await localOwner();
  return { ...keyHeader(), ...(owner ? { 'Second-Nose-Owner': owner.uid } : {}) };
}

/** @param {Owner} owner @returns {Promise<boolean>} whether the book is theirs now; once bound, it stays so */
export function bindOwner(owner) {
  return transaction('rw', ['meta'], async (tx) => {
    const bound = (await tx.meta.get('owner'))?.uid ?? ownerFromName(databaseName);
    if (bound !== null && bound !== owner.uid) return false;
    await tx.meta.put({ name: 'owner', uid: owner.uid, owner_name: owner.name });
    return true;
  });
}

/** @returns {Promise<OwnerLookup>} binds a book that is nobody's yet to whoever is signed in */
export async function ensureOwner() {
  const here = await localOwner();
  if (here) return here;
  const met = await fetchOwner();
  if (typeof met === 'string') return met;
  return (await bindOwner(met)) ? met : 'signin';
}

/** @returns {Promise<OwnerLookup>} */
export async function fetchOwner() {
  const response = await fetch('/api/me', {
    headers: { Accept: 'application/json', ...keyHeader() },
    cache: 'no-store',
    redirect: 'error',
    signal: AbortSignal.timeout(timing.request_timeout_ms),
  }).catch(() => null);
  if (!response || !/json/.test(response.headers.get('Content-Type') ?? '')) return 'no_network';
  const document = await response.json().catch(() => null);
  if (response.status === 404) return 'older';
  if (response.status === 401) {
    setAuthIssue(document);
    return 'signin';
  }
  const owner = document?.owner;
  return response.ok && typeof owner?.uid === 'string'
    ? { uid: owner.uid, name: String(owner.name ?? '') }
    : 'no_network';
}

/** @param {any} problem the server's reason for turning this phone away */
export function setAuthIssue(problem) {
  const other = problem?.code === 'other_owner' ? (problem.errors?.owner ?? null) : null;
  const ended = ENDS.includes(problem?.code) ? String(problem.code) : '';
  const { value } = authIssue;
  if (value.ended !== ended || value.other?.uid !== other?.uid) authIssue.value = { other, ended };
}

/**
 * Owner of the notebook. It is bound to the first owner that the server names, before anything is
 * sent, and each request names the owner. The server answers 409 if another owner is signed in, so
 * that notes of two people never mix.
 *
 * @typedef {{ uid: string, name: string }} Owner
 * @typedef {Owner | 'signin' | 'no_network' | 'older'} OwnerLookup older: the server is too old to
 *   name owners
 */
import { signal } from '../vendor/signals-core.js';
import { databaseName, ownerFromName } from './database_name.js';
import { keyHeader } from './browser_key.js';
import { timing } from '../config.js';
import { withReconnect, transaction, db } from './database.js';
import { otherDatabaseOf } from './other_databases.js';

/** Name that the server gives an unnamed owner; not shown. */
export const UNNAMED = 'me';

/** Reasons that the server gives for the end of a sign-in. */
const ENDS = ['revoked', 'passphrase_changed', 'upgraded', 'erased'];

/** What prevents sync: another owner is signed in, or the sign-in of this device has ended. */
export const authIssue = signal(/** @type {{ other: Owner | null, ended: string }} */ ({ other: null, ended: '' }));

/** @returns {Promise<Owner | null>} the name is empty if only the id is known */
export async function localOwner() {
  const row = await withReconnect(() => db.meta.get('owner'));
  if (row) return { uid: row.uid, name: row.owner_name };
  const uid = ownerFromName(databaseName);
  return uid ? { uid, name: '' } : null;
}

/** @returns {Promise<Record<string, string>>} headers with the owner of the notebook and the browser key */
export async function ownerHeader() {
  const owner = await localOwner();
  return { ...keyHeader(), ...(owner ? { 'Second-Nose-Owner': owner.uid } : {}) };
}

/**
 * @param {Owner} owner
 * @returns {Promise<boolean>} whether the notebook belongs to this owner; once bound it stays bound
 */
export function bindOwner(owner) {
  return transaction('rw', ['meta'], async (tx) => {
    const bound = (await tx.meta.get('owner'))?.uid ?? ownerFromName(databaseName);
    if (bound !== null && bound !== owner.uid) return false;
    await tx.meta.put({ name: 'owner', uid: owner.uid, owner_name: owner.name });
    return true;
  });
}

/**
 * Bind an unbound notebook to the signed-in owner, but not while they have another one on this phone: its notes would
 * be in neither the notebook nor the sync. Settings then offer to join them.
 * @returns {Promise<OwnerLookup | 'apart'>}
 */
export async function ensureOwner() {
  const here = await localOwner();
  if (here) return here;
  const found = await fetchOwner();
  if (typeof found === 'string') return found;
  if (await otherDatabaseOf(found.uid)) return 'apart';
  return (await bindOwner(found)) ? found : 'signin';
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

/** @param {any} problem the server's problem document */
export function setAuthIssue(problem) {
  const other = problem?.code === 'other_owner' ? (problem.errors?.owner ?? null) : null;
  const ended = ENDS.includes(problem?.code) ? String(problem.code) : '';
  const { value } = authIssue;
  if (value.ended !== ended || value.other?.uid !== other?.uid) authIssue.value = { other, ended };
}

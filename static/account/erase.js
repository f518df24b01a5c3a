/** Erase the notebook: on the server and here, or only on this phone. */
import Dexie from '../vendor/dexie.js';
import { ask } from './api.js';
import { databaseName, forgetPointer, GUEST_DATABASE } from '../store/database_name.js';
import { BROWSER_KEY } from '../store/browser_key.js';
import { localOwner } from '../store/owner.js';

/**
 * @param {string} passphrase empty if none is set
 * @throws {import('./api.js').AccountError} if the server refuses; nothing is erased then
 */
export async function eraseEverywhere(passphrase) {
  const { owner } = await ask('GET', '/api/me');
  const here = await localOwner();
  await ask('POST', '/api/erase', { owner: here?.uid ?? owner.uid, passphrase });
  await eraseHere();
}

/** The databases of this phone: the notebook, and what its owner noted as a guest. */
const OURS = [databaseName, GUEST_DATABASE];

/** Erase only this phone's copy. The server's copy stays. */
export async function eraseHere() {
  // Dexie closes the connections of other tabs first; otherwise the deletion would wait for them.
  await Promise.all(OURS.map((name) => Dexie.delete(name)));
  clearLocalStorage();
}

function clearLocalStorage() {
  try {
    // The dot excludes other owners' databases, whose names continue with a hyphen.
    const ownKeys = Object.keys(localStorage).filter(
      (name) => OURS.some((database) => name.startsWith(`${database}.`)) && name !== BROWSER_KEY,
    );
    for (const name of ownKeys) localStorage.removeItem(name);
  } catch {
    // Without localStorage there is nothing to remove.
  }
  forgetPointer();
}

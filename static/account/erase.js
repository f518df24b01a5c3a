/** The end of a book: on the server, and on this phone. */
import Dexie from '../vendor/dexie.js';
import { ask } from './api.js';
import { databaseName, forgetPointer } from '../store/database_name.js';
import { BROWSER_KEY } from '../store/browser_key.js';
import { localOwner } from '../store/owner.js';

/**
 * @param {string} passphrase empty where there is none
 * @throws {import('./api.js').AccountError} then nothing is erased
 */
export async function eraseEverywhere(passphrase) {
  const { owner } = await ask('GET', '/api/me');
  const here = await localOwner();
  await ask('POST', '/api/erase', { owner: here?.uid ?? owner.uid, passphrase });
  await eraseHere();
}

/** Only on this phone; what the server has stays there. */
export async function eraseHere() {
  // Other tabs of this book let go of the tables first, or the browser waits for them.
  await Dexie.delete(databaseName);
  forgetStorage();
}

function forgetStorage() {
  try {
    // A book beside this one has a name that goes on with a dash.
    const ours = Object.keys(localStorage).filter(
      (name) => name.startsWith(`${databaseName}.`) && name !== BROWSER_KEY,
    );
    for (const name of ours) localStorage.removeItem(name);
  } catch {
    // A browser that keeps nothing there has nothing to forget.
  }
  forgetPointer();
}

/** Erase the notebook: on the server and here, or only on this phone. */
import { apiRequest } from './api.js';
import { eraseDatabases, unownedName } from './phone_databases.js';
import { databaseName, setActiveDatabase, GUEST_DATABASE } from '../store/database_name.js';
import { otherDatabaseOf, otherDatabasesOf } from '../store/other_databases.js';
import { fetchOwner, localOwner } from '../store/owner.js';

/**
 * @param {string} passphrase empty if none is set
 * @throws {import('./api.js').AccountError} if the server refuses; nothing is erased then
 */
export async function eraseEverywhere(passphrase) {
  const { owner } = await apiRequest('GET', '/api/me');
  const here = await localOwner();
  const uid = here?.uid ?? owner.uid;
  await apiRequest('POST', '/api/erase', { owner: uid, passphrase });
  // A second notebook of theirs would send its notes to the server again.
  await eraseDatabases(await otherDatabasesOf(uid));
  await eraseOpen(await unownedName(), [GUEST_DATABASE]);
}

/**
 * Erase only this phone's copy. The server's copy stays, and so do notes of guests, who may be somebody else and may
 * have sent nothing yet; a guest deletes them by leaving the table. The notebook of whoever is signed in opens next,
 * because notes in one of nobody's would be kept apart from it.
 */
export async function eraseHere() {
  const found = await fetchOwner();
  const own = typeof found === 'string' ? null : await otherDatabaseOf(found.uid);
  await eraseOpen(own ?? (await unownedName()));
}

/** Erase the open notebook. @param {string} next the database to open after it @param {string[]} [more] to erase too */
async function eraseOpen(next, more = []) {
  try {
    setActiveDatabase(next);
  } catch {
    // Without localStorage the first database is the only one.
  }
  await eraseDatabases([databaseName, ...more]);
}

/** The notebooks on this phone, each in a database of its own. */
import Dexie from '../vendor/dexie.js';
import { databaseName, FIRST_DATABASE, isOurDatabase, ownerFromName, POINTER } from '../store/database_name.js';
import { BROWSER_KEY } from '../store/browser_key.js';
import { countUnsent } from '../sync/count_unsent.js';

/**
 * @typedef {import('../store/owner.js').Owner} Owner
 * @typedef {import('../store/persistence.js').Unsent} Unsent
 */

/** Keys in localStorage of the phone, whose names begin as those of the first database. */
const OF_THE_PHONE = [BROWSER_KEY, POINTER];

/** @returns {Promise<{ owner: Owner, unsent: Unsent }[]>} notebooks of other owners; a name may be empty */
export async function listParkedDatabases() {
  const found = await Promise.all((await otherNames()).map(readDatabase));
  return found.flatMap(({ owner, unsent }) => (owner ? [{ owner, unsent }] : []));
}

/**
 * @param {string} uid
 * @returns {Promise<string | null>} a database of this owner that is not the open one, if there is any
 */
export async function otherDatabaseOf(uid) {
  for (const name of await otherNames()) if ((await readDatabase(name)).owner?.uid === uid) return name;
  return null;
}

/** @returns {Promise<string>} the database to open once the open one is erased: nobody's, and empty */
export async function unownedName() {
  for (let number = 0; ; number += 1) {
    const name = number ? `${FIRST_DATABASE}-${number}` : FIRST_DATABASE;
    if (name === databaseName || !(await readDatabase(name)).owner) return name;
  }
}

/**
 * Delete databases and what localStorage has of them. Other tabs that show them reload (`watch_erasure.js`).
 * @param {string[]} names
 */
export async function eraseDatabases(names) {
  // All tabs close their connections first (`database.js`); otherwise the deletion would wait for them.
  await Promise.all(names.map((name) => Dexie.delete(name)));
  try {
    // The dot excludes other databases, whose names continue with a hyphen.
    const keys = Object.keys(localStorage).filter((key) => names.some((name) => key.startsWith(`${name}.`)));
    for (const key of keys) if (!OF_THE_PHONE.includes(key)) localStorage.removeItem(key);
  } catch {
    // Without localStorage there is nothing to remove.
  }
}

/** @returns {Promise<string[]>} the notebooks that are not open */
async function otherNames() {
  const found = (await indexedDB.databases?.()) ?? [];
  return found.flatMap(({ name = '' }) => (isOurDatabase(name) && name !== databaseName ? [name] : []));
}

/**
 * Read a database without opening it for writing.
 * @param {string} name
 * @returns {Promise<{ owner: Owner | null, unsent: Unsent }>} owner: of a notebook that was never bound, whom its name
 *   tells
 */
async function readDatabase(name) {
  const uid = ownerFromName(name);
  const named = uid ? { uid, name: '' } : null;
  const database = new Dexie(name, { autoOpen: false });
  try {
    await database.open();
    const row = await database.table('meta').get('owner');
    const { onlyHere: unsent } = await countUnsent(database.table('outbox'));
    return { owner: row ? { uid: row.uid, name: row.owner_name } : named, unsent };
  } catch {
    // Not there, not a notebook, or written by a newer release.
    return { owner: named, unsent: { notes: 0, changes: 0 } };
  } finally {
    database.close();
  }
}

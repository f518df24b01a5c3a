/** The notebooks on this phone, each in a database of its own. */
import Dexie from '../vendor/dexie.js';
import { databaseName, FIRST_DATABASE, POINTER } from '../store/database_name.js';
import { BROWSER_KEY } from '../store/browser_key.js';
import { otherNames, ownerOf, readDatabase } from '../store/other_databases.js';
import { countUnsent } from '../sync/count_unsent.js';

/**
 * @typedef {import('../store/owner.js').Owner} Owner
 * @typedef {import('../store/persistence.js').Unsent} Unsent
 */

/** Keys in localStorage of the phone, whose names begin as those of the first database. */
const OF_THE_PHONE = [BROWSER_KEY, POINTER];

/** @returns {Promise<{ owner: Owner, unsent: Unsent }[]>} owned notebooks that are not open; a name may be empty */
export async function listParkedDatabases() {
  const found = await Promise.all(
    (await otherNames()).map(async (name) => ({ owner: await ownerOf(name), unsent: await unsentIn(name) })),
  );
  return found.flatMap(({ owner, unsent }) => (owner ? [{ owner, unsent }] : []));
}

/** @returns {Promise<string>} the database to open once the open one is erased: nobody's, and empty */
export async function unownedName() {
  for (let number = 0; ; number += 1) {
    const name = number ? `${FIRST_DATABASE}-${number}` : FIRST_DATABASE;
    if (name === databaseName || ((await ownerOf(name)) === null && (await isEmpty(name)))) return name;
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

/** @param {string} name @returns {Promise<Unsent>} */
async function unsentIn(name) {
  const counted = await readDatabase(name, (book) => countUnsent(book.table('outbox')));
  return counted?.onlyHere ?? { notes: 0, changes: 0 };
}

/**
 * Tell whether nothing waits in a notebook: one of nobody may be left by a sign-in that was interrupted.
 * @param {string} name
 */
async function isEmpty(name) {
  return !(await readDatabase(name, (book) => book.table('outbox').count()));
}

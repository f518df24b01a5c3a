/** Read another owner's database on this phone, without opening it for writing. */
import Dexie from '../vendor/dexie.js';
import { countUnsent } from '../sync/count_unsent.js';

/** @typedef {import('../store/persistence.js').Unsent} Unsent */

/** @param {string} name @returns {Promise<import('../store/owner.js').Owner | null>} */
export async function ownerOfDatabase(name) {
  return (await countRecordsIn(name)).owner;
}

/** @param {string} name @returns {Promise<{ owner: import('../store/owner.js').Owner | null, unsent: Unsent }>} */
export async function countRecordsIn(name) {
  const database = new Dexie(name, { autoOpen: false });
  try {
    await database.open();
    const row = await database.table('meta').get('owner');
    const { onlyHere: unsent } = await countUnsent(database.table('outbox'));
    return { owner: row ? { uid: row.uid, name: row.owner_name } : null, unsent };
  } catch {
    // Not a notebook, or written by a newer release.
    return { owner: null, unsent: { notes: 0, changes: 0 } };
  } finally {
    database.close();
  }
}

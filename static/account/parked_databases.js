/** Read another owner's database on this phone, without opening it for writing. */
import Dexie from '../vendor/dexie.js';

/** @param {string} name @returns {Promise<import('../store/owner.js').Owner | null>} */
export async function ownerOfDatabase(name) {
  return (await countRecordsIn(name)).owner;
}

/** @param {string} name @returns {Promise<{ owner: import('../store/owner.js').Owner | null, unsent: number }>} */
export async function countRecordsIn(name) {
  const database = new Dexie(name, { autoOpen: false });
  try {
    await database.open();
    const row = await database.table('meta').get('owner');
    const unsent = await database.table('outbox').count();
    return { owner: row ? { uid: row.uid, name: row.owner_name } : null, unsent };
  } catch {
    // Not a notebook, or written by a newer release.
    return { owner: null, unsent: 0 };
  } finally {
    database.close();
  }
}

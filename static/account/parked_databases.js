/** A look into a book that is kept aside on this phone, without opening it for writing. */
import Dexie from '../vendor/dexie.js';

/** @param {string} name @returns {Promise<import('../store/owner.js').Owner | null>} */
export async function ownerOf(name) {
  return (await countAside(name)).owner;
}

/** @param {string} name @returns {Promise<{ owner: import('../store/owner.js').Owner | null, unsent: number }>} */
export async function countAside(name) {
  const book = new Dexie(name, { autoOpen: false });
  try {
    await book.open();
    const row = await book.table('meta').get('owner');
    const unsent = await book.table('outbox').count();
    return { owner: row ? { uid: row.uid, name: row.owner_name } : null, unsent };
  } catch {
    // Not a book, or one of a newer edition: nothing can be said of it.
    return { owner: null, unsent: 0 };
  } finally {
    book.close();
  }
}

/** Makes room when the phone is full: what can be fetched again goes, what was noted never does. */
import { within } from './database.js';

/**
 * @returns {Promise<boolean>} whether anything was dropped, so that another try makes sense
 */
export async function makeRoom() {
  return within('rw', ['cache', 'photo_bytes'], async (book) => {
    const kept = await book.cache.count();
    await book.cache.clear();
    const copies = await book.photo_bytes.where('state').equals('sent').delete();
    return kept + copies > 0;
  }, { strict: false }).catch(() => false);
}

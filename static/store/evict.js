/** Makes room when the phone is full: what can be fetched again goes, what was noted never does. */
import { transaction } from './database.js';

/**
 * @returns {Promise<boolean>} whether anything was dropped, so that another try makes sense
 */
export async function freeSpace() {
  return transaction(
    'rw',
    ['cache', 'photo_bytes'],
    async (tx) => {
      const kept = await tx.cache.count();
      await tx.cache.clear();
      const copies = await tx.photo_bytes.where('state').equals('sent').delete();
      return kept + copies > 0;
    },
    { strict: false },
  ).catch(() => false);
}

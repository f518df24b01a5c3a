/** Frees space when the storage is full: deletes what can be fetched again, never notes. */
import { transaction } from './database.js';

/** @returns {Promise<boolean>} whether anything was deleted, so that the save can be tried again */
export async function freeSpace() {
  return transaction(
    'rw',
    ['cache', 'photo_bytes'],
    async (tx) => {
      const cachedCount = await tx.cache.count();
      await tx.cache.clear();
      const copies = await tx.photo_bytes.where('state').equals('sent').delete();
      return cachedCount + copies > 0;
    },
    { strict: false },
  ).catch(() => false);
}

// The server's time, by which guests' answers are dated.
import { db, withReconnect } from './database.js';

/** @returns {Promise<number>} ms since 1970, as far as the last exchange told it */
export async function serverMs() {
  const clock = await withReconnect(() => db.meta.get('clock'));
  return Date.now() + (clock?.correction_ms ?? clock?.offset_ms ?? 0);
}

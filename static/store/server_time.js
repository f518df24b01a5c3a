// The server's time, by which guests' answers are dated.
import { db, withReconnect } from './database.js';

/** @returns {Promise<number>} server time minus phone time in ms, as far as the last exchange told it */
export async function correctionMs() {
  const clock = await withReconnect(() => db.meta.get('clock'));
  return clock?.correction_ms ?? clock?.offset_ms ?? 0;
}

/** @returns {Promise<number>} ms since 1970 */
export async function serverMs() {
  return Date.now() + (await correctionMs());
}

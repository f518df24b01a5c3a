/** Opens the store on the phone; re-exports its state. See "Store" in static/README.md. */
import { untilLoaded } from '../lib/until_loaded.js';
import { settingsId } from './record.js';
import { openPour } from './open_pour.js';
import { StoreError } from './errors.js';
import { detectLoss } from './persistence.js';
import { db, openTables, storeState } from './database.js';
import { journalKeys } from './write_journal.js';

export { db, storeState, StoreError };

/**
 * @returns {Promise<{ settings: import('./record.js').Fields }>} empty settings if there are none
 *   yet, or without storage (see `storeState`)
 */
export async function openStore() {
  try {
    await openTables();
    const keys = journalKeys();
    if (keys.length) await (await untilLoaded(() => import('./replay_journal.js'))).replayJournal(keys);
    const [settings] = await Promise.all([db.settings.get(settingsId), detectLoss(), openPour.restore()]);
    return { settings: settings?.fields ?? {} };
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    return { settings: {} };
  }
}

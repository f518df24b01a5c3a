/** Whose ratings the notebook has: the owner's, or those of the example's invented taster. */
import { db, withReconnect } from './database.js';
import { effect, signal } from '../vendor/signals-core.js';
import { changeCount } from './changes.js';
import { RecordIndex } from './record_index.js';

/**
 * @typedef {'own' | 'example' | 'none'} Taster whose ratings the server learns from, as `select_taster` in
 *   webapp/palate/use/taster.py selects them: the owner's, and the example's only while the owner has none
 */

/** @returns {Promise<Taster | null>} null before the first sync, when the server may have notes that are not here */
export function readTaster() {
  return withReconnect(async () => {
    if (!(await db.meta.get('server'))?.last_synced) return null;
    if (await db.tasting.filter((row) => teaches(row) && row.fields['example'] !== true).first()) return 'own';
    return (await db.tasting.filter(teaches).first()) ? 'example' : 'none';
  });
}

/** @param {import('./record.js').Row} row */
function teaches({ gone, fields }) {
  if (gone || !(fields['liking'] >= 1)) return false;
  return !fields['faults']?.length || fields['fault_counts'] === true;
}

const exampleVisits = new RecordIndex('visit', ({ fields }) => fields['example'] === true);
let stop = () => {};

/** Whether the example is shown; it has visits. All are read once, then only what changed. */
export const hasExample = signal(false, {
  watched() {
    stop = effect(() => {
      // Reading it is what makes this run again.
      void changeCount.value;
      readExample().catch((error) => console.error(error));
    });
  },
  unwatched() {
    stop();
  },
});

async function readExample() {
  hasExample.value = [...(await exampleVisits.refreshed()).values()].includes(true);
}

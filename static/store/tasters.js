/** Whose ratings the notebook has: the owner's, or those of the example's invented taster. */
import { db, withReconnect } from './database.js';

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

/** @returns {Promise<boolean>} whether the example is shown; it has visits, of which there are few */
export function hasExample() {
  return withReconnect(async () =>
    Boolean(await db.visit.filter((row) => !row.gone && row.fields['example'] === true).first()),
  );
}

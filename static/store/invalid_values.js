/**
 * Values that the user typed and that fail validation. They are stored on this phone only, until
 * they are corrected.
 *
 * @typedef {Record<string, any>} Values what was typed, by `side.field`
 */
import { db, withReconnect, transaction } from './database.js';

/** Maximum number of pours with invalid values; the oldest are deleted. */
const MAX_POURS = 50;

/** @param {string} tasting id @returns {Promise<Values>} */
export async function loadInvalidValues(tasting) {
  return (await withReconnect(() => db.meta.get('faulty')))?.pours[tasting] ?? {};
}

/**
 * @param {string} tasting id
 * @param {Values} values all invalid values of the pour
 */
export async function saveInvalidValues(tasting, values) {
  await transaction('rw', ['meta'], async (tx) => {
    const { [tasting]: before, ...others } = (await tx.meta.get('faulty'))?.pours ?? {};
    if (!before && Object.keys(values).length === 0) return;
    const pours = Object.entries(others).slice(1 - MAX_POURS);
    if (Object.keys(values).length > 0) pours.push([tasting, values]);
    await tx.meta.put({ name: 'faulty', pours: Object.fromEntries(pours) });
  });
}

/**
 * What was typed and cannot be kept as it stands: on this phone only, so that it is not lost with the page, until
 * it is mended.
 *
 * @typedef {Record<string, any>} Values what was typed, by `side.field`
 */
import { db, withReconnect, transaction } from './database.js';

/** Pours of which this is remembered; whoever leaves more of them unmended loses the oldest. */
const MAX_POURS = 50;

/** @param {string} tasting id @returns {Promise<Values>} */
export async function loadInvalidValues(tasting) {
  return (await withReconnect(() => db.meta.get('faulty')))?.pours[tasting] ?? {};
}

/**
 * @param {string} tasting id
 * @param {Values} values all that is faulty now in this pour
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

// Queries about bottles that the first screen does not need.
import { db, withReconnect } from './database.js';
import { allWhere } from './queries.js';

/** @typedef {import('./record.js').Row} Row */

/**
 * @param {string} id of a bottle
 * @returns {Promise<Row[]>} the records that refer to it and are not deleted
 */
export async function referencesToBottle(id) {
  const kinds = /** @type {const} */ (['tasting', 'pick', 'stock', 'photo', 'glass']);
  const rows = await withReconnect(() =>
    Promise.all(kinds.map((kind) => db[kind].where('fields.bottle').equals(id).toArray())),
  );
  return [...rows.flat().filter((row) => !row.gone), ...(await allWhere('bottle', 'merged_into', id))];
}

/** @returns {Promise<Row[]>} the bottles that were merged into others and are not deleted */
export async function mergedDuplicates() {
  const rows = await withReconnect(() => db.bottle.where('fields.merged_into').above('').toArray());
  return rows.filter((row) => !row.gone);
}

/** @param {string} gtin @returns {Promise<Row | undefined>} the bottle with this barcode, unless its label is hidden */
export async function bottleByGtin(gtin) {
  const rows = await allWhere('bottle', 'gtin', gtin);
  return rows.find(({ fields }) => !fields['merged_into'] && !fields['covered']);
}

// All bottles in memory, because names are compared at each letter.
import { plainText } from '../../lib/plain_text.js';
import { db, withReconnect } from '../../store/database.js';
import { RecordIndex } from '../../store/record_index.js';
import { resolveBottle } from '../bottle_names.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {Row & { plain: string, spelt: string }} KnownBottle plain: its name; spelt: the producer before it */

const bottles = new RecordIndex('bottle', (row) => {
  const plain = plainText(row.fields['name'] ?? '');
  const spelt = plainText(`${row.fields['producer'] ?? ''} ${plain}`);
  // Without clocks, which take most of the memory.
  return /** @type {KnownBottle} */ ({ ...row, clocks: {}, plain, spelt });
});

/** @returns {Promise<KnownBottle[]>} in no order; read once, then only what changed */
export async function allBottles() {
  return [...(await bottles.refreshed()).values()];
}

/**
 * Another device may name a duplicate after it was merged here.
 * @returns {Promise<Map<string, string[]>>} ids of the duplicates by the bottle into which they were merged
 */
export async function mergedBottles() {
  // A live query follows what it reads from the database, not what is in memory.
  await withReconnect(() => db.bottle.count());
  const all = await bottles.refreshed();
  /** @type {Map<string, string[]>} */
  const found = new Map();
  for (const { id, fields } of all.values()) {
    const of = fields['merged_into'] && resolveBottle(all, id);
    if (of && of.id !== id) found.set(of.id, [...(found.get(of.id) ?? []), id]);
  }
  return found;
}

/**
 * @param {KnownBottle[]} known
 * @param {string} id
 * @param {string} name
 * @returns {boolean} whether another bottle than `id` has this name, whatever its case and accents
 */
export function isNameOfOther(known, id, name) {
  const same = plainText(name).trim();
  return known.some((bottle) => bottle.id !== id && bottle.plain.trim() === same);
}

// All bottles in memory, because names are compared at each letter.
import { plainText } from '../../lib/plain_text.js';
import { RecordIndex } from '../../store/record_index.js';

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
 * @param {KnownBottle[]} known
 * @param {string} id
 * @param {string} name
 * @returns {boolean} whether another bottle than `id` has this name, whatever its case and accents
 */
export function isNameOfOther(known, id, name) {
  const same = plainText(name).trim();
  return known.some((bottle) => bottle.id !== id && bottle.plain.trim() === same);
}

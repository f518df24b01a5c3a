// Duplicates that were merged. Another device may still name them.
import { mergedDuplicates } from '../../store/bottle_queries.js';
import { bottlesByIds } from '../../store/queries.js';
import { resolveBottle } from '../bottle_names.js';

/** @returns {Promise<Map<string, string[]>>} ids of the duplicates by the bottle into which they were merged */
export async function mergedBottles() {
  const duplicates = (await mergedDuplicates()).map(({ id }) => id);
  const bottles = await bottlesByIds(duplicates);
  /** @type {Map<string, string[]>} */
  const found = new Map();
  for (const id of duplicates) {
    const of = resolveBottle(bottles, id);
    if (of && of.id !== id) found.set(of.id, [...(found.get(of.id) ?? []), id]);
  }
  return found;
}

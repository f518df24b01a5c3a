// What the page of a bottle reads, also under the ids of duplicates that were merged into it.
import { allWhere, bottlesByIds, tastingsOfBottle } from '../../../store/queries.js';
import { mergedBottles } from '../../../domain/bottle/merged_bottles.js';
import { resolveBottle } from '../../../domain/bottle_names.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/**
 * @typedef {{ bottle: Row | null, merged: string[], tastings: Row[], picks: Row[], stock: Row[], asked: boolean
 *   }} History merged: ids of the duplicates
 */

/** @type {History} */
export const NONE = { bottle: null, merged: [], tastings: [], picks: [], stock: [], asked: false };

/** @param {string} id; a duplicate that was merged leads to the bottle it belongs to @returns {Promise<History>} */
export async function loadHistory(id) {
  const bottle = resolveBottle(await bottlesByIds([id]), id);
  const merged = (bottle && (await mergedBottles()).get(bottle.id)) ?? [];
  const ids = [bottle?.id ?? id, ...merged];
  return {
    bottle,
    merged,
    tastings: await tastingsOfBottle(...ids),
    picks: await allWhere('pick', 'bottle', ...ids),
    stock: await allWhere('stock', 'bottle', ...ids),
    asked: true,
  };
}

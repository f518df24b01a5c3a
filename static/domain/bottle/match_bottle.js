// Finds the same bottle by its name while it is typed, and shows it in the pour.
import { batch } from '../../lib/ui.js';
import { referencesToBottle } from '../../store/bottle_queries.js';
import { bottle } from '../../store/queries.js';
import { plainText } from '../../lib/plain_text.js';
import { currentPour, values } from '../pour/current_pour.js';

/** @typedef {import('./all_bottles.js').KnownBottle} KnownBottle */

const LETTERS = 2;
const MAX_SUGGESTIONS = 3;
// The vintage, as far as it is typed after the name.
const YEAR = / (\d{1,4})$/;

/**
 * Suggest bottles whose name starts with the typed text: equal names first, then the newest. A year after the whole
 * name prefers its vintage.
 * @param {KnownBottle[]} rows
 * @param {string | null | undefined} typed
 * @param {string} own id of the current pour's bottle
 */
export function suggestBottles(rows, typed, own) {
  const query = plainText(typed ?? '').trim();
  if (query.length < LETTERS) return [];
  const year = YEAR.exec(query)?.[1] ?? '';
  const named = query.replace(YEAR, '');
  const inside = (/** @type {KnownBottle} */ row) => (row.spelt.includes(` ${query}`) ? 1 : 2);
  const rank = (/** @type {KnownBottle} */ row) => {
    if (row.plain === query) return 0;
    if (row.plain !== named) return inside(row);
    return String(row.fields['vintage'] ?? '').startsWith(year) ? 0 : 1;
  };
  return rows
    .filter(
      (row) =>
        row.id !== own &&
        !row.fields['covered'] &&
        !row.fields['merged_into'] &&
        (row.plain.startsWith(query) || row.plain === named || inside(row) === 1),
    )
    .sort((a, b) => rank(a) - rank(b) || (a.id < b.id ? 1 : -1))
    .slice(0, MAX_SUGGESTIONS);
}

/**
 * Show another bottle in the current pour. The tasting's next save refers to it.
 * @param {string} id
 * @param {Record<string, any>} fields
 */
export function selectBottle(id, fields) {
  const pour = currentPour.peek();
  if (!pour) return;
  batch(() => {
    currentPour.value = { ...pour, bottle: id };
    values.bottle.value = { ...fields };
  });
}

/**
 * Tell whether the bottle exists and only this tasting refers to it.
 * @param {string} id
 * @param {string} tastingId
 */
export async function isUnreferenced(id, tastingId) {
  return !(await isShared(id, tastingId)) && Boolean(await bottle(id));
}

/**
 * Tell whether another record than this tasting refers to the bottle.
 * @param {string} id
 * @param {string} tastingId
 */
export async function isShared(id, tastingId) {
  return (await referencesToBottle(id)).some((row) => row.id !== tastingId);
}

// Links the current pour to a known bottle, or separates it again.
import { newId } from '../../store/write.js';
import { currentPour, values, setFields } from '../pour/current_pour.js';
import { allBottles } from './all_bottles.js';
import { isShared, selectBottle } from './match_bottle.js';

/** @typedef {import('../../store/record.js').Row} Row */

// Fields that another vintage of the same wine shares.
const VINTAGE_INDEPENDENT = [
  'name',
  'producer',
  'style',
  'grapes',
  'region',
  'country',
  'colour',
  'kind',
  'closure',
  'label_market',
  'protected_origin',
  'volume_ml',
];

/** The bottle of the pour, if nothing else used it when it was read. @type {string | null} */
let ownBottle = null;

/** Read before the tap whether the bottle is the pour's own: a page that is closed loses an edit that waits for it. */
export async function readOwnBottle() {
  ownBottle = null;
  const pour = currentPour.peek();
  if (pour && !(await isShared(pour.bottle, pour.tasting))) ownBottle = pour.bottle;
}

/** @returns {Promise<import('./all_bottles.js').KnownBottle[]>} once the pour's own bottle is read */
export async function bottlesToOffer() {
  await readOwnBottle();
  return allBottles();
}

/**
 * Link the pour to a known bottle, and delete the bottle created for this pour if nothing else uses
 * it.
 * @param {Row} row
 */
export function useExisting(row) {
  const previous = currentPour.peek()?.bottle;
  if (!previous) return;
  const isSaved = values.tasting.peek()['bottle'] === previous;
  const isFree = isSaved && previous === ownBottle && previous !== row.id;
  selectBottle(row.id, row.fields);
  setFields('tasting', { bottle: row.id }, isFree ? [{ kind: 'bottle', id: previous, fields: {}, deleted: true }] : []);
}

/** Create a bottle for another vintage, with the fields that vintages share. @param {Row} row */
export function useOtherVintage(row) {
  const previous = currentPour.peek()?.bottle;
  if (!previous || previous !== ownBottle) selectBottle(newId(), {});
  setFields(
    'bottle',
    Object.fromEntries(
      VINTAGE_INDEPENDENT.filter((field) => field in row.fields).map((field) => [field, row.fields[field]]),
    ),
  );
}

/** Separate this pour from the bottle that other notes refer to. */
export function detachBottle() {
  const name = values.bottle.peek()['name'] ?? null;
  selectBottle(newId(), {});
  setFields('bottle', { name });
}

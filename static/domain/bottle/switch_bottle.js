// Links the current pour to a known bottle, or separates it again.
import { effect } from '../../lib/ui.js';
import { liveSignal } from '../../store/queries.js';
import { newId } from '../../store/write.js';
import { currentPour, setFields, validValues, values } from '../pour/current_pour.js';
import { allBottles } from './all_bottles.js';
import { gainEdits, gainedFields } from './gained_fields.js';
import { isShared, selectBottle } from './match_bottle.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('../pour/current_pour.js').CurrentPour} Pour */

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

/** Whether other records refer to the bottle of the pour, followed while the pour has this bottle. */
let followed = { key: '', isShared: /** @type {boolean | null} */ (null), isRead: Promise.resolve() };

/** Read before the tap whether the bottle is the pour's own: a page that is closed loses an edit that waits for it. */
export function readOwnBottle() {
  const pour = currentPour.peek();
  if (pour && followed.key !== keyOf(pour)) followed = follow(pour);
  return followed.isRead;
}

/** @param {Pour} pour @returns {typeof followed} */
function follow(pour) {
  const shared = liveSignal(() => isShared(pour.bottle, pour.tasting), /** @type {boolean | null} */ (null));
  const now = { key: keyOf(pour), isShared: shared.peek(), isRead: Promise.resolve() };
  now.isRead = new Promise((resolve) => {
    const stop = effect(() => {
      const isLeft = keyOf(currentPour.value) !== now.key;
      now.isShared = isLeft ? null : shared.value;
      if (isLeft || now.isShared !== null) resolve();
      if (!isLeft) return;
      // The answer is old after a return to the bottle.
      now.key = '';
      stop();
    });
  });
  return now;
}

/** @param {Pour | null} pour */
function keyOf(pour) {
  return pour ? `${pour.tasting}/${pour.bottle}` : '';
}

/** Tell whether nothing else uses the bottle of the pour. */
function isOwn() {
  return followed.isShared === false && followed.key === keyOf(currentPour.peek());
}

/** @returns {Promise<import('./all_bottles.js').KnownBottle[]>} once the pour's own bottle is read */
export async function bottlesToOffer() {
  await readOwnBottle();
  return allBottles();
}

/**
 * Link the pour to a known bottle, and delete the bottle created for this pour if nothing else uses it. The known one
 * gains of it what it lacks.
 * @param {Row} row
 */
export function useExisting(row) {
  const previous = currentPour.peek()?.bottle;
  if (!previous) return;
  const isSaved = values.tasting.peek()['bottle'] === previous;
  const isFree = isSaved && isOwn() && previous !== row.id;
  const gained = isFree ? gainedFields(row.fields, validValues('bottle')) : {};
  selectBottle(row.id, { ...row.fields, ...gained });
  const left = { kind: /** @type {const} */ ('bottle'), id: previous, fields: {}, deleted: true };
  const edits = [...(isFree ? [left] : []), ...gainEdits(row.id, gained)];
  setFields('tasting', { bottle: row.id }, edits);
}

/** Create a bottle for another vintage, with the fields that vintages share. @param {Row} row */
export function useOtherVintage(row) {
  if (!isOwn()) selectBottle(newId(), {});
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

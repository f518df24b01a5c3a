// Links the current pour to a known bottle, or separates it again.
import { newId } from '../../store/write.js';
import { currentPour, values, setFields } from '../pour/current_pour.js';
import { whenIdle } from '../pour/autosave_queue.js';
import { isUnreferenced, selectBottle } from './match_bottle.js';

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

/**
 * Link the pour to a known bottle, and delete the bottle created for this pour if nothing else uses
 * it.
 * @param {Row} row
 */
export async function useExisting(row) {
  const pour = currentPour.peek();
  if (!pour) return;
  const previous = pour.bottle;
  await whenIdle();
  const isFree = previous !== row.id && (await isUnreferenced(previous, pour.tasting));
  if (currentPour.peek()?.bottle !== previous) return;
  selectBottle(row.id, row.fields);
  setFields('tasting', { bottle: row.id }, isFree ? [{ kind: 'bottle', id: previous, fields: {}, deleted: true }] : []);
}

/** Create a bottle for another vintage, with the fields that vintages share. @param {Row} row */
export async function useOtherVintage(row) {
  await createBottle(
    Object.fromEntries(
      VINTAGE_INDEPENDENT.filter((field) => field in row.fields).map((field) => [field, row.fields[field]]),
    ),
  );
}

/** Separate this pour from the bottle that it was linked to. */
export async function detachBottle() {
  await createBottle({ name: values.bottle.peek()['name'] ?? null });
}

/** @param {Record<string, any>} fields */
async function createBottle(fields) {
  const pour = currentPour.peek();
  if (!pour) return;
  await whenIdle();
  const free = await isUnreferenced(pour.bottle, pour.tasting);
  selectBottle(free ? pour.bottle : newId(), free ? { ...values.bottle.peek() } : {});
  setFields('bottle', fields);
}

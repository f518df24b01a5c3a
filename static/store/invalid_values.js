/**
 * Values that the user typed and that fail validation. They are stored on this phone only, until
 * they are corrected.
 *
 * @typedef {Record<string, any>} Values what was typed, by `side.field`
 */
import { localState } from './local_state.js';

/** Maximum number of pours with invalid values; the oldest are deleted. */
const MAX_POURS = 50;

const invalid = localState(
  'faulty',
  /** @returns {pours is Record<string, Values>} */ (/** @type {unknown} */ pours) =>
    typeof pours === 'object' && pours !== null,
  { property: 'pours', restored: 'by the caller' },
);

/** @param {string} tasting id @returns {Promise<Values>} */
export async function loadInvalidValues(tasting) {
  await invalid.restore();
  return invalid.peek()?.[tasting] ?? {};
}

/**
 * Call it after the values were loaded.
 * @param {string} tasting id
 * @param {Values} values all invalid values of the pour
 */
export async function saveInvalidValues(tasting, values) {
  const { [tasting]: before, ...others } = invalid.peek() ?? {};
  if (!before && Object.keys(values).length === 0) return;
  const pours = Object.entries(others).slice(1 - MAX_POURS);
  if (Object.keys(values).length > 0) pours.push([tasting, values]);
  await invalid.set(pours.length > 0 ? Object.fromEntries(pours) : null);
}

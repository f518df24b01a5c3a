// Deletes and restores a note. The label of its bottle is hidden as long as a covered glass of it is in the notebook.
import { bottle, tasting, tastingsOfBottle } from '../../store/queries.js';
import { commitEdits } from '../../store/write.js';
import { hasHiddenGlass, isLabelHidden } from './glasses.js';

/** @typedef {import('../../store/write.js').Edit} Edit */

/** @param {string} id of a tasting */
export async function removeNote(id) {
  await commitEdits([{ kind: 'tasting', id, deleted: true }, ...(await labelEdits(id, false))]);
}

/** @param {string} id of a deleted tasting */
export async function restoreNote(id) {
  await commitEdits([{ kind: 'tasting', id, deleted: false }, ...(await labelEdits(id, true))]);
}

/**
 * @param {string} id of a tasting
 * @param {boolean} covered whether its bottle is to be hidden
 * @returns {Promise<Edit[]>} none if other glasses hide the bottle, or the tasting has no hidden label
 */
async function labelEdits(id, covered) {
  const row = await tasting(id);
  if (!row || !isLabelHidden(row) || !row.fields['bottle']) return [];
  const of = await bottle(row.fields['bottle']);
  if (!of || Boolean(of.fields['covered']) === covered) return [];
  const others = (await tastingsOfBottle(of.id)).filter((other) => other.id !== id);
  return hasHiddenGlass(others) ? [] : [{ kind: 'bottle', id: of.id, fields: { covered } }];
}

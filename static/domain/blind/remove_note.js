// Deletes and restores a note. The label of its bottle is hidden as long as a covered glass of it is in the notebook.
import { bottle, tastingsOfBottle } from '../../store/queries.js';
import { commitEdits } from '../../store/write.js';
import { hasHiddenGlass, isLabelHidden } from './glasses.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('../../store/write.js').Edit} Edit */

/** @param {Row} shown a tasting */
export async function removeNote(shown) {
  await commitEdits([{ kind: 'tasting', id: shown.id, deleted: true }, ...(await labelEdits(shown, false))]);
}

/** @param {Row} shown a deleted tasting */
export async function restoreNote(shown) {
  await commitEdits([{ kind: 'tasting', id: shown.id, deleted: false }, ...(await labelEdits(shown, true))]);
}

/**
 * Read only if the label is hidden, because a page that is closed loses an edit that waits for a read.
 * @param {Row} shown a tasting
 * @param {boolean} covered whether its bottle is to be hidden
 * @returns {Promise<Edit[]>} none if other glasses hide the bottle, or the tasting has no hidden label
 */
async function labelEdits(shown, covered) {
  if (!isLabelHidden(shown) || !shown.fields['bottle']) return [];
  const of = await bottle(shown.fields['bottle']);
  if (!of || Boolean(of.fields['covered']) === covered) return [];
  const others = (await tastingsOfBottle(of.id)).filter((other) => other.id !== shown.id);
  return hasHiddenGlass(others) ? [] : [{ kind: 'bottle', id: of.id, fields: { covered } }];
}

// A year typed in the name of a new bottle: moved to the vintage when the bottle is finished, as Pour does.
import { t } from '../../../i18n.js';
import { vintageInName } from '../../../rules/label/vintage_in_name.js';
import { showToast } from '../../../components/layout/toast.js';
import { isNameOfOther } from '../../../domain/bottle/all_bottles.js';
import { enqueue } from '../../../domain/pour/autosave_queue.js';
import { knownBottles, pickDraft, setDraftFields, values } from './pick_draft.js';

/** @typedef {{ name: string, text: string, undo: () => void }} Moved `name` as typed; `text` to say it */

/**
 * Move the year unless it may belong to the name. A name that another bottle has is left as it is.
 * @returns {Moved | null}
 */
export function moveYear() {
  const draft = pickDraft.peek();
  const { name, vintage, non_vintage } = values.bottle.peek();
  const found = name && !non_vintage ? vintageInName(name, new Date().getFullYear()) : null;
  if (!draft?.created || draft.known || !found?.sure || (vintage && vintage !== found.vintage)) return null;
  if (isNameOfOther(knownBottles.peek(), draft.bottle, name)) return null;
  setDraftFields('bottle', { name: found.name, vintage: found.vintage });
  const undo = () => enqueue([{ kind: 'bottle', id: draft.bottle, fields: { name, vintage: vintage ?? null } }]);
  return { name, text: t('pour.year_moved', { year: String(found.vintage) }), undo };
}

/** Do the same when the sheet closes, and say it. */
export function moveYearAndSay() {
  const moved = moveYear();
  if (moved) showToast(moved.text, moved.undo, { label: t('pour.year_back') });
}

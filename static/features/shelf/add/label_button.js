// Reads the label of a bottle in the shop into the pick being entered.
import { html, useState } from '../../../lib/ui.js';
import { hasMessage, t } from '../../../i18n.js';
import { addPhoto } from '../../../photos/photos.js';
import { whenIdle } from '../../../domain/pour/autosave_queue.js';
import { LazySheet } from '../../shell/lazy.js';
import { applyBarcode, pickDraft, setDraftFields, values } from './pick_draft.js';

/** @typedef {import('../../../domain/label_photo/label_sheet.js').Taken} Taken */

const labelSheet = () => import('../../../domain/label_photo/label_sheet.js').then((module) => module.LabelSheet);

export function LabelButton() {
  const [isOpen, setOpen] = useState(false);
  const [message, setMessage] = useState(/** @type {string | null} */ (null));
  const [taken, setTaken] = useState(/** @type {{ undo: () => void } | null} */ (null));
  const use = async (/** @type {Taken} */ { fields, photo }) => {
    setOpen(false);
    const count = Object.values(fields).filter((value) => value !== null).length;
    const used = count ? t('label_photo.used', { count }) : '';
    setMessage(used || null);
    setTaken(count ? { undo: writeFields(fields) } : null);
    if (photo) setMessage(`${used} ${t((await keepPhoto(photo)) ?? 'label_photo.photo_kept')}`.trim());
  };
  const known = (/** @type {string} */ gtin) => {
    setOpen(false);
    setMessage(null);
    setTaken(null);
    applyBarcode(gtin);
  };
  const takeBack = () => {
    taken?.undo();
    setTaken(null);
    setMessage(null);
  };
  return html`<button type="button" class="button plain" onClick=${() => setOpen(true)}>
      ${t('label_photo.open')}</button>
    <p class="field-note label-used" role="status">${message}
      ${taken && html`<button type="button" class="button plain" onClick=${takeBack}>${t('parts.undo')}</button>`}</p>
    <${LazySheet} loader=${labelSheet} open=${isOpen} onClose=${() => setOpen(false)} bottle=${values.bottle.value}
      keepText=${t('label_photo.keep_bottle')} onUse=${use} onKnown=${known} />`;
}

/**
 * @param {Taken['fields']} fields
 * @returns {() => void} restores what the bottle had
 */
function writeFields(fields) {
  const { bottle } = pickDraft.peek() ?? {};
  const had = values.bottle.peek();
  setDraftFields('bottle', fields);
  const now = values.bottle.peek();
  const changed = Object.keys(now).filter((field) => now[field] !== had[field]);
  return () => {
    const before = Object.fromEntries(changed.map((field) => [field, had[field] ?? null]));
    if (pickDraft.peek()?.bottle === bottle) setDraftFields('bottle', before);
  };
}

/** @param {Blob} photo @returns {Promise<string | null>} message of what went wrong */
async function keepPhoto(photo) {
  const now = pickDraft.peek();
  if (!now) return 'book.photo_failed';
  try {
    // A photo belongs to a bottle that is saved.
    if (!now.created) setDraftFields('pick', {});
    await whenIdle();
    await addPhoto({ bottle: now.bottle }, photo);
    return null;
  } catch (error) {
    const code = /** @type {{ code?: string }} */ (error).code;
    return hasMessage(`book.photo_${code}`) ? `book.photo_${code}` : 'book.photo_failed';
  }
}

// Takes a photo of the label, or a barcode, for the wine that is being tasted. This code may come so late that another
// wine is; then only a photo goes to the one it was taken of.
import { hasMessage, t } from '../../../i18n.js';
import { showToast } from '../../../components/layout/toast.js';
import { timestamp } from '../../../lib/datetime.js';
import { addPhoto } from '../../../photos/photos.js';
import { bottleByGtin } from '../../../store/bottle_queries.js';
import { whenIdle } from '../../../domain/pour/autosave_queue.js';
import { currentPour, setFields, values } from '../../../domain/pour/current_pour.js';
import { styleFields } from '../../../domain/bottle/style_fields.js';
import { readOwnBottle, useExisting } from '../../../domain/bottle/switch_bottle.js';

/**
 * Save a photo with the tasting, which is created if nothing else was noted yet.
 * @param {Blob} file
 * @param {string | undefined} tasting that it was taken of
 * @returns {Promise<string>} message for the user
 */
export async function takePhoto(file, tasting) {
  const pour = currentPour.peek();
  if (!tasting) return 'book.photo_failed';
  try {
    if (pour?.tasting === tasting && !pour.created) setFields('tasting', { tasted_at: timestamp() });
    await whenIdle();
    await addPhoto({ tasting }, file);
    return 'pour.label_photo_saved';
  } catch (error) {
    const code = /** @type {{ code?: string }} */ (error).code;
    return hasMessage(`book.photo_${code}`) ? `book.photo_${code}` : 'book.photo_failed';
  }
}

/**
 * Use the bottle with this barcode; if there is none, save the barcode with the wine.
 * @param {string} gtin
 * @param {string | undefined} tasting
 * @returns {Promise<string | null>} message for the user
 */
export async function useBarcode(gtin, tasting) {
  if (currentPour.peek()?.tasting !== tasting) return null;
  const row = await bottleByGtin(gtin);
  if (!row) {
    setFields('bottle', { gtin });
    return 'pour.barcode_new';
  }
  await readOwnBottle();
  useExisting(row);
  return 'pour.barcode_known';
}

/**
 * Write what was ticked of a label that was read, in one save that can be undone.
 * @param {import('../../../domain/label_photo/label_sheet.js').Taken} taken
 * @param {string | undefined} tasting
 * @returns {Promise<string | null>} message for the user
 */
export async function useLabel({ fields, photo }, tasting) {
  const pour = currentPour.peek();
  const { bottle } = pour ?? {};
  const had = values.bottle.peek();
  const all = 'style' in fields ? { ...styleFields(had, fields['style']), ...fields } : fields;
  if (pour?.tasting === tasting && Object.keys(all).length) {
    setFields('bottle', all);
    showToast(t('label_photo.used', { count: Object.values(fields).filter((value) => value !== null).length }), () => {
      const before = Object.fromEntries(Object.keys(all).map((field) => [field, had[field] ?? null]));
      if (currentPour.peek()?.bottle === bottle) setFields('bottle', before);
    });
  }
  return photo ? takePhoto(photo, tasting) : null;
}

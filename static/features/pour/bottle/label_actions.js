// Takes a photo of the label, or a barcode, for the wine that is being tasted.
import { hasMessage } from '../../../i18n.js';
import { timestamp } from '../../../lib/datetime.js';
import { addPhoto } from '../../../photos/photos.js';
import { bottlesByGtin } from '../../../store/queries.js';
import { whenIdle } from '../../../domain/pour/autosave_queue.js';
import { currentPour, setFields } from '../../../domain/pour/current_pour.js';
import { useExisting } from '../../../domain/bottle/switch_bottle.js';

/**
 * Save a photo with the tasting, which is created if nothing else was noted yet.
 * @param {Blob} file
 * @returns {Promise<string>} message for the user
 */
export async function takePhoto(file) {
  const pour = currentPour.peek();
  if (!pour) return 'book.photo_failed';
  try {
    if (!pour.created) setFields('tasting', { tasted_at: timestamp() });
    await whenIdle();
    await addPhoto({ tasting: pour.tasting }, file);
    return 'pour.label_photo_saved';
  } catch (error) {
    const code = /** @type {{ code?: string }} */ (error).code;
    return hasMessage(`book.photo_${code}`) ? `book.photo_${code}` : 'book.photo_failed';
  }
}

/**
 * Use the bottle with this barcode; if there is none, save the barcode with the wine.
 * @param {string} gtin
 * @returns {Promise<string>} message for the user
 */
export async function useBarcode(gtin) {
  const [row] = (await bottlesByGtin(gtin)).filter(({ fields }) => !fields['merged_into'] && !fields['covered']);
  if (row) await useExisting(row);
  else setFields('bottle', { gtin });
  return row ? 'pour.barcode_known' : 'pour.barcode_new';
}

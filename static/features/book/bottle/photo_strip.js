// Photos of a bottle or tasting. They are stored on this phone at once and uploaded later.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { date } from '../../../lib/format.js';
import { hasMessage, t } from '../../../i18n.js';
import { showToast } from '../../../components/layout/toast.js';
import { addPhoto, findPhoto, photosOf } from '../../../photos/photos.js';
import { liveSignal } from '../../../store/queries.js';
import { remove, restore } from '../../../store/write.js';
import { syncStatus } from '../../../sync/status.js';
import { localDateTime } from '../../../lib/datetime.js';

/** @typedef {import('../../../store/record.js').Row} Row */

/** @type {string[]} */
const NO_IDS = [];

/**
 * @param {{ of: { bottle?: string, tasting?: string }, merged?: string[], untitled?: boolean }} props merged: ids of
 *   the bottle's duplicates; untitled: only the button, where there is no photo yet
 */
export function PhotoStrip({ of, merged = NO_IDS, untitled = false }) {
  const photos = useMemo(
    () => liveSignal(() => photosOf(of, ...merged), /** @type {Row[]} */ ([])),
    [of.bottle, of.tasting, merged.join()],
  ).value;
  const [errorCode, setErrorCode] = useState(/** @type {string | null} */ (null));
  const add = async (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    input.value = '';
    setErrorCode(null);
    if (!file) return;
    try {
      await addPhoto(of, file);
    } catch (error) {
      const code = /** @type {{ code?: string }} */ (error).code;
      setErrorCode(hasMessage(`book.photo_${code}`) ? `book.photo_${code}` : 'book.photo_failed');
    }
  };
  return html`<section class=${untitled ? '' : 'tasting-step photo-strip'}>
    ${!untitled && html`<h2>${t('book.photos')}</h2>`}
    ${
      photos.length > 0 &&
      html`<ul class="photos">${photos.map(
        (row) => html`<li key=${row.id}><${Photo} row=${row} />
    </li>`,
      )}
    </ul>`
    }
    <label class="button plain tasting-more file-button">
      ${t('book.photo_add')}
      <input class="unseen" type="file" accept="image/*" onChange=${add} />
    </label>
    ${errorCode && html`<p class="field-error" role="alert">${t(errorCode)}</p>`}
  </section>`;
}

/** @param {{ row: Row }} props */
function Photo({ row }) {
  const [url, setUrl] = useState(/** @type {string | null} */ (null));
  const [missing, setMissing] = useState(/** @type {string | null} */ (null));
  // What is not there yet is looked for again after each sync.
  const isSyncing = !url && syncStatus.value.phase === 'syncing';
  useEffect(() => {
    if (url || (missing && isSyncing)) return undefined;
    let left = false;
    findPhoto(row.id).then(({ blob, isUnsent }) => {
      if (left) return;
      setUrl(blob && URL.createObjectURL(blob));
      setMissing(isUnsent ? 'book.photo_unsent' : 'book.photo_elsewhere');
    });
    return () => {
      left = true;
    };
  }, [row.id, isSyncing]);
  useEffect(
    () => () => {
      if (url) URL.revokeObjectURL(url);
    },
    [url],
  );
  const takenOn = row.fields['taken_at'] ? date(localDateTime(row.fields['taken_at'])) : '';
  const removePhoto = async () => {
    await remove('photo', row.id);
    showToast(t('book.photo_gone'), () => {
      restore('photo', row.id);
    });
  };
  return html`${
    url
      ? html`<img src=${url} alt=${t('book.photo_of', { day: takenOn })} width=${row.fields['width_px']}
      height=${row.fields['height_px']} />`
      : html`<p class="soft small">
    ${missing ? t(missing) : '\u00a0'}
  </p>`
  }
    <button type="button" class="button plain small" onClick=${removePhoto}
        aria-label=${t('book.photo_delete', { day: takenOn })}>
      ${t('book.delete')}
    </button>`;
}

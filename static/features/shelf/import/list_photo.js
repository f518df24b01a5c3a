// A photo of a shelf or a list as the source of an imported list, and the piece of it that each row came from.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { openPhoto, PhotoPiece } from '../../../domain/label_photo/photo_piece.js';
import { LazySheet } from '../../shell/lazy.js';
import { sourceOf } from './row_source.js';

/** @typedef {import('../../../domain/label_photo/list_sheet.js').ReadList} ReadList */
/** @typedef {import('../../../domain/label_photo/photo_piece.js').Picture} Picture */

const listSheet = () => import('../../../domain/label_photo/list_sheet.js').then((module) => module.ListSheet);

/** @param {{ lists: ReadList[], onRead: (list: ReadList) => void }} props lists: read so far */
export function ListPhoto({ lists, onRead }) {
  const [isOpen, setOpen] = useState(false);
  const count = lists.reduce((sum, { rows }) => sum + rows.length, 0);
  const read = (/** @type {ReadList} */ list) => {
    setOpen(false);
    onRead(list);
  };
  return html`<button type="button" class="button" onClick=${() => setOpen(true)}>${t('label_photo.open_list')}</button>
    <p class="field-note label-used" role="status">${count > 0 ? t('label_photo.list_read', { count }) : null}</p>
    <${LazySheet} loader=${listSheet} open=${isOpen} onClose=${() => setOpen(false)} onRead=${read} />`;
}

/** Show where a row was read. @param {{ lists: ReadList[], row: import('./import_rows.js').ParsedRow }} props */
export function RowPiece({ lists, row }) {
  const source = sourceOf(lists, row);
  const picture = usePicture(source?.list);
  return picture && source
    ? html`<${PhotoPiece} picture=${picture} box=${source.box} text=${row.bottle['name']} />`
    : null;
}

/** One picture for all rows of a photo. @type {WeakMap<Blob, Promise<Picture>>} */
const pictures = new WeakMap();

/** @param {ReadList | undefined} list @returns {Picture | null} */
function usePicture(list) {
  const photo = list?.photo;
  const [picture, setPicture] = useState(/** @type {Picture | null} */ (null));
  useEffect(() => {
    let left = false;
    if (!photo) return undefined;
    const opening = pictures.get(photo) ?? openPhoto(photo, list?.angle);
    pictures.set(photo, opening);
    opening.then(
      (opened) => {
        if (!left) setPicture(opened);
      },
      () => undefined,
    );
    return () => {
      left = true;
    };
  }, [photo]);
  return photo ? picture : null;
}

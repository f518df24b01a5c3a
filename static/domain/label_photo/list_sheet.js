// Reads a shop's shelf or a restaurant's list from a photo, as text for the preview of a list.
import { html, useEffect } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Sheet } from '../../components/layout/sheet.js';
import { listText } from '../../rules/label_text/list.js';
import { PhotoSteps } from './photo_steps.js';

/** @typedef {{ text: string, rows: import('./reader.js').Row[], photo: Blob, angle: number }} ReadList */

/** @param {{ open: boolean, onClose: () => void, onRead: (list: ReadList) => void }} props */
export function ListSheet({ open, onClose, onRead }) {
  return html`<${Sheet} title=${t('label_photo.title_list')} open=${open} onClose=${onClose}>
    ${
      open &&
      html`<${PhotoSteps} kind="list" isEmpty=${(/** @type {any} */ { rows }) => rows.length === 0}
        read=${(/** @type {any} */ reader, /** @type {Blob} */ photo, /** @type {any} */ running) =>
          reader.readList(photo, running)}
        result=${(/** @type {any} */ { photo, result }) =>
          html`<${PassOn} onRead=${() => onRead({ ...asList(result), photo })} />`} />`
    }
  <//>`;
}

/** @param {{ rows: import('./reader.js').Row[], angle: number }} read */
function asList({ rows, angle }) {
  const headings = {
    name: t('shelf.column_name'),
    vintage: t('shelf.column_vintage'),
    price: t('shelf.column_price'),
    glass: t('label_photo.glass'),
    alcohol: t('shelf.column_abv'),
  };
  return { text: listText(rows, headings), rows, angle };
}

/** @param {{ onRead: () => void }} props */
function PassOn({ onRead }) {
  useEffect(onRead, []);
  return null;
}

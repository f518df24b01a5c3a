// Reads a shop's shelf or a restaurant's list from a photo, as text for the preview of a list.
import { html, useEffect } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Sheet } from '../../components/layout/sheet.js';
import { PhotoSteps } from './photo_steps.js';

/** @typedef {{ text: string, rows: { name: string, box: import('./reader.js').Box }[], photo: Blob }} ReadList */

/** @param {{ open: boolean, onClose: () => void, onRead: (list: ReadList) => void }} props */
export function ListSheet({ open, onClose, onRead }) {
  return html`<${Sheet} title=${t('label_photo.title_list')} open=${open} onClose=${onClose}>
    ${
      open &&
      html`<${PhotoSteps} kind="list" isEmpty=${(/** @type {any} */ { rows }) => rows.length === 0}
        read=${(/** @type {any} */ reader, /** @type {Blob} */ photo, /** @type {any} */ running) =>
          reader.readList(photo, running)}
        result=${(/** @type {any} */ { photo, result }) =>
          html`<${PassOn} onRead=${() => onRead({ text: result.text, rows: result.rows, photo })} />`} />`
    }
  <//>`;
}

/** @param {{ onRead: () => void }} props */
function PassOn({ onRead }) {
  useEffect(onRead, []);
  return null;
}

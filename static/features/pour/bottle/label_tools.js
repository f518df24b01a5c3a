// Photo of the label and barcode, for a wine that is being tasted.
import { html, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { liveSignal, photosOf } from '../../../store/queries.js';
import { LazySheet, useLazy } from '../../shell/lazy.js';
import { currentPour } from '../../../domain/pour/current_pour.js';

/** @typedef {import('../../../store/record.js').Row} Row */

const scanSheet = () => import('../../shelf/scan/scan_sheet.js').then((module) => module.ScanSheet);
const photoStrip = () => import('../../book/bottle/photo_strip.js').then((module) => module.PhotoStrip);

export function LabelTools() {
  const [scanning, setScanning] = useState(false);
  const [message, setMessage] = useState(/** @type {string | null} */ (null));
  const act = async (/** @type {'takePhoto' | 'useBarcode'} */ name, /** @type {any} */ given) => {
    setMessage(null);
    setScanning(false);
    setMessage(await import('./label_actions.js').then((actions) => actions[name](given)));
  };
  const pick = (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    input.value = '';
    if (file) act('takePhoto', file);
  };
  return html`<div class="label-tools">
    <label class="button plain file-button">${t('pour.label_photo')}
      <input class="unseen" type="file" accept="image/*" onChange=${pick} /></label>
    <button type="button" class="button plain" onClick=${() => setScanning(true)}>${t('shelf.scan')}</button>
  </div>
  ${message && html`<p class="field-note" role="status">${t(message)}</p>`}
  <${LazySheet} loader=${scanSheet} open=${scanning} onClose=${() => setScanning(false)}
    onFound=${(/** @type {string} */ gtin) => act('useBarcode', gtin)} />`;
}

/** The photos of the pour, if there are any. */
export function PourPhotos() {
  const tasting = currentPour.value?.tasting ?? '';
  const found = useMemo(() => liveSignal(() => photosOf({ tasting }), /** @type {Row[]} */ ([])), [tasting]).value;
  const Strip = useLazy(found.length ? photoStrip : null);
  return Strip && found.length ? html`<${Strip} of=${{ tasting }} />` : null;
}

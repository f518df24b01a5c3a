// Reading the label, a photo of it and the barcode, for a wine that is being tasted.
import { html, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { liveSignal, photosOf } from '../../../store/queries.js';
import { LazySheet, useLazy } from '../../shell/lazy.js';
import { untilLoaded } from '../../../lib/until_loaded.js';
import { currentPour, values } from '../../../domain/pour/current_pour.js';

/** @typedef {import('../../../store/record.js').Row} Row */

const scanSheet = () => import('../../shelf/scan/scan_sheet.js').then((module) => module.ScanSheet);
const labelSheet = () => import('../../../domain/label_photo/label_sheet.js').then((module) => module.LabelSheet);
const photoStrip = () => import('../../book/bottle/photo_strip.js').then((module) => module.PhotoStrip);

export function LabelTools() {
  const [open, setOpen] = useState(/** @type {'label' | 'barcode' | null} */ (null));
  const [message, setMessage] = useState(/** @type {string | null} */ (null));
  const close = () => setOpen(null);
  const act = async (/** @type {'takePhoto' | 'useBarcode' | 'useLabel'} */ name, /** @type {any} */ given) => {
    setMessage(null);
    close();
    const pour = currentPour.peek()?.tasting;
    const actions = await untilLoaded(() => import('./label_actions.js'));
    setMessage(await actions[name](given, pour));
  };
  const pick = (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    input.value = '';
    if (file) act('takePhoto', file);
  };
  const useBarcode = (/** @type {string} */ gtin) => act('useBarcode', gtin);
  return html`<div class="label-tools">
    <button type="button" class="button plain" onClick=${() => setOpen('label')}>${t('label_photo.open')}</button>
    <label class="button plain file-button"><span aria-hidden="true">${t('pour.label_photo_short')}</span>
      <input class="unseen" type="file" accept="image/*" aria-label=${t('pour.label_photo')} onChange=${pick} /></label>
    <button type="button" class="button plain" aria-label=${t('shelf.scan')} onClick=${() => setOpen('barcode')}>
      ${t('pour.label_barcode_short')}</button>
  </div>
  ${message && html`<p class="field-note" role="status">${t(message)}</p>`}
  <${LazySheet} loader=${labelSheet} open=${open === 'label'} onClose=${close} bottle=${values.bottle.value}
    keepText=${t('label_photo.keep_tasting')} onKnown=${useBarcode}
    onUse=${(/** @type {any} */ taken) => act('useLabel', taken)} />
  <${LazySheet} loader=${scanSheet} open=${open === 'barcode'} onClose=${close} onFound=${useBarcode} />`;
}

/** Show the photos of the pour, if there are any. */
export function PourPhotos() {
  const tasting = currentPour.value?.tasting ?? '';
  const found = useMemo(() => liveSignal(() => photosOf({ tasting }), /** @type {Row[]} */ ([])), [tasting]).value;
  const Strip = useLazy(found.length ? photoStrip : null);
  return Strip && found.length ? html`<${Strip} of=${{ tasting }} />` : null;
}

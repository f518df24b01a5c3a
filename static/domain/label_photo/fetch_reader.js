// Asks before the reader of labels is fetched, says its size, and shows how far it is.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { ProgressLine } from '../../components/layout/progress_line.js';
import { errorCode, loadReader, megabytes } from './reader.js';

/** @param {{ bytes: number, onStored: () => void }} props bytes: what is left to fetch */
export function FetchReader({ bytes, onStored }) {
  if (!canStore()) return html`<p role="alert">${t('label_photo.fetch_insecure')}</p>`;
  return html`<p>${t('label_photo.fetch_ask', { size: megabytes(bytes) })}</p>
    <p class="soft small">${t('label_photo.fetch_note')}</p>
    <${FetchButton} isPrimary onStored=${onStored} />`;
}

/** Tell whether the browser stores files for use without a network, which it does not over plain http. */
export const canStore = () => 'caches' in globalThis;

/**
 * Draw the button that fetches the reader; while it is fetched, how far it is and a button that stops it.
 * @param {{ onStored: () => void, isPrimary?: boolean }} props
 */
export function FetchButton({ onStored, isPrimary = false }) {
  const { share, error, start, stop } = useFetch(onStored);
  return html`${error && html`<p class="field-error" role="alert">${t(`label_photo.fetch_${error}`)}</p>`}
    ${share !== null && html`<${Progress} label=${t('label_photo.fetching')} share=${share} />`}
    <div class=${isPrimary ? 'photo-buttons' : 'buttons'}>
      ${
        share === null
          ? html`<button type="button" class=${isPrimary ? 'button primary' : 'button'} onClick=${start}>
            ${t('label_photo.fetch')}</button>`
          : html`<button type="button" class="button" onClick=${stop}>${t('label_photo.stop')}</button>`
      }
    </div>`;
}

/** @param {() => void} onStored */
function useFetch(onStored) {
  const [share, setShare] = useState(/** @type {number | null} */ (null));
  const [error, setError] = useState(/** @type {string | null} */ (null));
  const running = useRef(/** @type {AbortController | null} */ (null));
  const stop = () => running.current?.abort();
  useEffect(() => stop, []);
  const start = async () => {
    const controller = new AbortController();
    running.current = controller;
    setError(null);
    setShare(0);
    try {
      const { storeModel } = await loadReader();
      await storeModel({ signal: controller.signal, onProgress: setShare });
      if (!controller.signal.aborted) onStored();
    } catch (thrown) {
      if (running.current !== controller) return;
      setShare(null);
      setError(controller.signal.aborted ? null : errorCode(thrown));
    }
  };
  return { share, error, start, stop };
}

/** @param {{ label: string, share: number }} props share: 0 to 1 */
export function Progress({ label, share }) {
  return html`<p class="soft small" role="status">${label}</p>
    <${ProgressLine} label=${label} share=${share} />`;
}

// The way from a photo to what was read in it: fetch the reader, take the picture, wait, look at the result.
import { html, useEffect, useLayoutEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { CameraView } from './camera_view.js';
import { FetchReader, Progress } from './fetch_reader.js';
import { openPhoto } from './photo_piece.js';
import { errorCode, loadReader } from './reader.js';

/** @typedef {import('./photo_piece.js').Picture} Picture */
/** @typedef {Awaited<ReturnType<typeof loadReader>>} Reader */
/** @typedef {{ signal: AbortSignal, onProgress: (share: number) => void }} Running */
/**
 * @typedef {{ at: 'start' } | { at: 'fetch', bytes: number } | { at: 'camera' } | { at: 'reading', photo: Blob }
 *   | { at: 'failed', code: string } | { at: 'read', photo: Blob, picture: Picture, result: any }} Step
 */

/**
 * @param {{ kind: 'label' | 'list', read: (reader: Reader, photo: Blob, running: Running) => Promise<any>, isEmpty:
 *   (result: any) => boolean, result: (read: { photo: Blob, picture: Picture, result: any }) => unknown }} props
 *   result: what to show when the photo was read
 */
export function PhotoSteps({ kind, read, isEmpty, result: show }) {
  const { step, share, go, take, stop } = usePhotoSteps(read, isEmpty);
  const place = useRef(/** @type {HTMLElement | null} */ (null));
  const isFirst = step.at === 'start';
  // The button that was pressed is gone with its step.
  useLayoutEffect(() => {
    if (!isFirst && document.activeElement === document.body) place.current?.focus();
  }, [step.at]);
  const again = () => go({ at: 'camera' });
  return html`<div class="photo-steps" tabindex="-1" ref=${place}>
    ${step.at === 'fetch' && html`<${FetchReader} bytes=${step.bytes} onStored=${again} />`}
    ${step.at === 'camera' && html`<${CameraView} how=${t(`label_photo.how_${kind}`)} onPhoto=${take} />`}
    ${step.at === 'reading' && html`<${Reading} photo=${step.photo} share=${share} onStop=${stop} />`}
    ${step.at === 'failed' && html`<${Failed} code=${step.code} onAgain=${again} />`}
    ${
      step.at === 'read' &&
      html`${show(step)}
        <button type="button" class="button plain" onClick=${again}>${t('label_photo.again')}</button>`
    }
  </div>`;
}

/**
 * @param {(reader: Reader, photo: Blob, running: Running) => Promise<any>} read
 * @param {(result: any) => boolean} isEmpty
 */
function usePhotoSteps(read, isEmpty) {
  const [step, setStep] = useState(/** @type {Step} */ ({ at: 'start' }));
  const [share, setShare] = useState(0);
  const running = useRef(new AbortController());
  const shown = useRef(/** @type {Picture | null} */ (null));
  const go = (/** @type {Step} */ next) => {
    shown.current?.bitmap.close();
    shown.current = next.at === 'read' ? next.picture : null;
    setStep(next);
  };
  const fail = (/** @type {unknown} */ error) => {
    const code = errorCode(error);
    if (code === 'no_model') start();
    else go({ at: 'failed', code });
  };
  const start = () =>
    loadReader()
      .then((reader) => reader.modelState())
      .then(({ stored, bytes }) => go(stored ? { at: 'camera' } : { at: 'fetch', bytes }))
      .catch(() => go({ at: 'failed', code: 'failed' }));
  useEffect(() => {
    start();
    return () => {
      running.current.abort();
      shown.current?.bitmap.close();
    };
  }, []);
  const take = async (/** @type {Blob} */ photo) => {
    const controller = new AbortController();
    running.current = controller;
    setShare(0);
    go({ at: 'reading', photo });
    const { signal } = controller;
    try {
      const result = await read(await loadReader(), photo, { signal, onProgress: setShare });
      if (isEmpty(result)) throw Object.assign(new Error('no text in the photo'), { code: 'unreadable' });
      const picture = await openPhoto(photo, result.angle);
      if (signal.aborted) picture.bitmap.close();
      else go({ at: 'read', photo, picture, result });
    } catch (error) {
      if (!signal.aborted) fail(error);
    }
  };
  const stop = () => {
    running.current.abort();
    go({ at: 'camera' });
  };
  return { step, share, go, take, stop };
}

/** @param {{ photo: Blob, share: number, onStop: () => void }} props */
function Reading({ photo, share, onStop }) {
  const [url, setUrl] = useState(/** @type {string | null} */ (null));
  useEffect(() => {
    const made = URL.createObjectURL(photo);
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [photo]);
  return html`<${Progress} label=${t('label_photo.reading')} share=${share} />
    <div class="photo-preview">
      ${url && html`<img src=${url} alt=${t('label_photo.photo')} onError=${() => setUrl(null)} />`}
    </div>
    <div class="photo-buttons">
      <button type="button" class="button" onClick=${onStop}>${t('label_photo.stop')}</button>
    </div>`;
}

/** @param {{ code: string, onAgain: () => void }} props */
function Failed({ code, onAgain }) {
  return html`<p role="alert">${t(`label_photo.error_${code}`)}</p>
    <p class="soft small">${t('label_photo.note_unchanged')}</p>
    <div class="photo-buttons">
      <button type="button" class="button primary" onClick=${onAgain}>${t('label_photo.again')}</button>
    </div>`;
}

/**
 * Shows a document as QR codes in turn, and scans such codes with the camera. Without a camera, as over plain http,
 * each code can be photographed.
 */
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { codeReader } from '../../lib/code_reader.js';
import { QrCode } from '../../lib/qr_draw.js';
import { collectFrames, documentOf, framesOf } from '../../lib/qr_frames.js';
import { scanCodes } from '../../lib/scan_codes.js';

/** Times in ms; tests shorten them. A camera at four pictures a second sees each code at least twice. */
const qrTiming = { show: 500, scan: 120 };

/** Width of a photograph that the reader gets. */
const PHOTO_PX = 1600;

/**
 * Show the codes of a document, one after the other.
 * @param {{ document: unknown, label: string }} props label: what a screen reader says
 */
export function ShowFrames({ document: shown, label }) {
  const [frames, setFrames] = useState(/** @type {string[]} */ ([]));
  const [at, setAt] = useState(0);
  const [isPaused, setPaused] = useState(false);
  const text = JSON.stringify(shown);
  useEffect(() => {
    let left = false;
    framesOf(shown).then(
      (made) => {
        if (!left) setFrames(made);
      },
      () => undefined,
    );
    return () => {
      left = true;
    };
  }, [text]);
  useEffect(() => {
    if (isPaused || frames.length < 2) return undefined;
    const timer = setInterval(() => setAt((now) => now + 1), qrTiming.show);
    return () => clearInterval(timer);
  }, [isPaused, frames]);
  const frame = frames[at % frames.length];
  if (!frame) return html`<div class="qr-frames"></div>`;
  return html`<div class="qr-frames"><${QrCode} text=${frame} label=${label} ecc="low" />
    ${
      frames.length > 1 &&
      html`<p class="soft small">${t('guest.frame_of', { frame: (at % frames.length) + 1, frames: frames.length })}</p>
      <div class="buttons"><button type="button" class="button" aria-pressed=${isPaused}
          onClick=${() => setPaused(!isPaused)}>${t('guest.frames_pause')}</button>
        ${
          isPaused &&
          html`<button type="button" class="button" onClick=${() => setAt(at + 1)}>
          ${t('guest.frames_next')}</button>`
        }</div>`
    }</div>`;
}

/**
 * Scan codes until a document is complete; then the next one may follow.
 * @param {{ onDocument: (document: any) => void }} props
 */
export function ScanFrames({ onDocument }) {
  const video = useRef(/** @type {HTMLVideoElement | null} */ (null));
  const collected = useRef(collectFrames());
  const [problem, setProblem] = useState(/** @type {string | null} */ (null));
  const [progress, setProgress] = useState({ have: 0, count: 0 });
  const use = async (/** @type {string} */ text) => {
    const found = collected.current.add(text);
    if (!found) return;
    setProgress({ have: found.have, count: found.count });
    if (!found.bytes) return;
    collected.current = collectFrames();
    const read = await documentOf(found.bytes).catch(() => null);
    if (read === null) setProblem('unreadable');
    else onDocument(read);
  };
  useEffect(() => {
    const how = /** @type {const} */ ({ code: 'qr', wait_ms: qrTiming.scan });
    return scanCodes(/** @type {HTMLVideoElement} */ (video.current), how, use, setProblem);
  }, []);
  const { have, count } = progress;
  return html`<p class="soft">${t(problem ? `guest.scan_${problem}` : 'guest.scan_how')}</p>
    <div class="scan-window" hidden=${problem !== null}>
      <video ref=${video} playsinline muted aria-label=${t('guest.scan_window')}></video></div>
    <p class="scan-progress" role="status">${count > 0 && t('guest.scan_progress', { have, count })}</p>
    ${problem !== null && html`<${Photographs} onText=${use} />`}`;
}

/** Take a photograph of each code. @param {{ onText: (text: string) => Promise<void> }} props */
function Photographs({ onText }) {
  const [isUnread, setUnread] = useState(false);
  const take = async (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    let count = 0;
    for (const file of input.files ?? []) {
      const texts = await textsIn(file).catch(() => []);
      count += texts.length;
      for (const text of texts) await onText(text);
    }
    setUnread(count === 0);
    input.value = '';
  };
  return html`<label class="button guest-photo">${t('guest.scan_photo')}
      <input class="unseen" type="file" accept="image/*" multiple capture="environment" onChange=${take} /></label>
    ${isUnread && html`<p class="field-error" role="alert">${t('guest.scan_photo_unread')}</p>`}`;
}

/** @param {File} file @returns {Promise<string[]>} */
async function textsIn(file) {
  const bitmap = await createImageBitmap(file);
  const scale = Math.min(1, PHOTO_PX / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(bitmap.width * scale);
  canvas.height = Math.round(bitmap.height * scale);
  const canvas2d = canvas.getContext('2d');
  canvas2d?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  const picture = canvas2d?.getImageData(0, 0, canvas.width, canvas.height);
  const found = picture ? await (await codeReader('qr'))(picture) : [];
  return found.map(({ text }) => text);
}

// The camera's live view with a button that takes the picture; a picture from the phone does as well.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { CameraError, openCamera } from '../../lib/camera.js';
import { photoOf, torchOf } from '../../lib/still_photo.js';

/** Print of two millimetres needs more pixels than a barcode. */
const PHOTO_WIDTH_PX = 2560;

/** @param {{ how: string, onPhoto: (photo: Blob) => void }} props how: what to point the camera at */
export function CameraView({ how, onPhoto }) {
  const video = useRef(/** @type {HTMLVideoElement | null} */ (null));
  const [problem, setProblem] = useState(/** @type {string | null} */ (null));
  const [isLive, setLive] = useState(false);
  const [isTaking, setTaking] = useState(false);
  useEffect(() => {
    const view = /** @type {HTMLVideoElement} */ (video.current);
    return runCamera(view, () => setLive(true), setProblem);
  }, []);
  const shoot = async () => {
    // A second tap must not take a second picture.
    setTaking(true);
    const photo = video.current && (await photoOf(video.current));
    if (photo) onPhoto(photo);
    else setTaking(false);
  };
  return html`${
    problem
      ? html`<p role="alert">${t(`label_photo.camera_${problem}`)}</p>`
      : html`<div class="photo-how"><p class="soft small">${how}</p>
          ${isLive && html`<${TorchButton} view=${video.current} />`}</div>`
  }
    <div class="scan-window photo-window" hidden=${problem !== null}>
      <video ref=${video} playsinline muted aria-label=${t('label_photo.camera_view')}></video>
    </div>
    <div class="photo-buttons">
      <${FileButton} isPrimary=${problem !== null} onPhoto=${onPhoto} />
      ${
        !problem &&
        html`<button type="button" class="button primary" disabled=${!isLive || isTaking} onClick=${shoot}>
          ${t('label_photo.take')}
        </button>`
      }
    </div>`;
}

/** Draw the button of the light, for a dim cellar, if the camera has one. @param {{ view: HTMLVideoElement }} props */
function TorchButton({ view }) {
  const [turn] = useState(() => torchOf(view));
  const [isOn, setOn] = useState(false);
  const press = async () => {
    if (await turn?.(!isOn)) setOn(!isOn);
  };
  return (
    turn &&
    html`<button type="button" class="choice" aria-pressed=${isOn} onClick=${press}>
      ${t('label_photo.torch')}</button>`
  );
}

/** @param {{ isPrimary: boolean, onPhoto: (photo: Blob) => void }} props */
function FileButton({ isPrimary, onPhoto }) {
  const choose = (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    input.value = '';
    if (file) onPhoto(file);
  };
  return html`<label class=${isPrimary ? 'button primary file-button' : 'button file-button'}>
    ${t('label_photo.choose_file')}
    <input class="unseen" type="file" accept="image/*" onChange=${choose} />
  </label>`;
}

/**
 * @param {HTMLVideoElement} view
 * @param {() => void} onLive
 * @param {(problem: string) => void} onProblem
 * @returns {() => void} releases the camera
 */
function runCamera(view, onLive, onProblem) {
  let isOpen = true;
  let release = () => {};
  openCamera(view, PHOTO_WIDTH_PX).then(
    (stop) => {
      release = stop;
      if (isOpen) onLive();
      else release();
    },
    (error) => {
      if (isOpen) onProblem(error instanceof CameraError ? error.code : 'no_camera');
    },
  );
  return () => {
    isOpen = false;
    release();
  };
}

// The rear camera, sampled a few times a second and released when the sheet closes.

const WIDTH_PX = 1280;

/** `code`: no_camera, not_allowed or camera_busy. */
export class CameraError extends Error {
  /** @param {'no_camera' | 'not_allowed' | 'camera_busy'} code */
  constructor(code) {
    super(code);
    this.name = 'CameraError';
    this.code = code;
  }
}

/**
 * @param {HTMLVideoElement} video shows the camera's image
 * @param {number} [width_px] that the camera's pictures should have
 * @returns {Promise<() => void>} releases the camera
 * @throws {CameraError}
 */
export async function openCamera(video, width_px = WIDTH_PX) {
  if (!navigator.mediaDevices?.getUserMedia) throw new CameraError('no_camera');
  const stream = await navigator.mediaDevices
    .getUserMedia({ video: { facingMode: 'environment', width: { ideal: width_px } } })
    .catch((error) => {
      throw new CameraError(codeOf(error));
    });
  video.srcObject = stream;
  await video.play().catch(() => undefined);
  return () => {
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
  };
}

/** @param {{ name?: string }} error @returns {CameraError['code']} */
function codeOf({ name }) {
  if (name === 'NotAllowedError' || name === 'SecurityError') return 'not_allowed';
  return name === 'NotReadableError' || name === 'AbortError' ? 'camera_busy' : 'no_camera';
}

/**
 * @param {HTMLVideoElement} video
 * @param {HTMLCanvasElement} canvas
 * @returns {ImageData | null} the current frame
 */
export function pictureOf(video, canvas) {
  const { videoWidth, videoHeight } = video;
  if (!videoWidth || !videoHeight) return null;
  canvas.width = videoWidth;
  canvas.height = videoHeight;
  const canvas2d = canvas.getContext('2d', { willReadFrequently: true });
  canvas2d?.drawImage(video, 0, 0);
  return canvas2d?.getImageData(0, 0, videoWidth, videoHeight) ?? null;
}

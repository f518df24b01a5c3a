// A photo of what the camera's live view shows, and the camera's light.

const QUALITY = 0.92;
/** A camera that takes longer gives the picture of its live view. */
const PATIENCE_MS = 4000;
const LONGEST_EDGE_PX = 2560;

/** @typedef {CanvasImageSource & { close?: () => void }} Source */

/**
 * Take a photo of what the video shows: of a picture that is cropped to its window, only the visible part. The camera's
 * own photo has more pixels than its live view, where the browser can take one.
 * @param {HTMLVideoElement} video
 * @returns {Promise<Blob | null>} null while the camera has no picture
 */
export async function photoOf(video) {
  const { videoWidth, videoHeight, clientWidth, clientHeight } = video;
  if (!videoWidth || !videoHeight || !clientWidth || !clientHeight) return null;
  const aspect = clientWidth / clientHeight;
  const still = await stillOf(video);
  if (!still) return cropped(video, videoWidth, videoHeight, aspect);
  try {
    return await cropped(still, still.width, still.height, aspect);
  } finally {
    still.close();
  }
}

/**
 * Return the middle of a picture, in the shape of the window.
 * @param {CanvasImageSource} picture
 * @param {number} width
 * @param {number} height
 * @param {number} aspect width of the window for each pixel of its height
 * @returns {Promise<Blob | null>}
 */
function cropped(picture, width, height, aspect) {
  const seen = { width: Math.min(width, height * aspect), height: Math.min(height, width / aspect) };
  const scale = Math.min(1, LONGEST_EDGE_PX / Math.max(seen.width, seen.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(seen.width * scale));
  canvas.height = Math.max(1, Math.round(seen.height * scale));
  const context = canvas.getContext('2d');
  const [left, top] = [(width - seen.width) / 2, (height - seen.height) / 2];
  if (context) context.imageSmoothingQuality = 'high';
  context?.drawImage(picture, left, top, seen.width, seen.height, 0, 0, canvas.width, canvas.height);
  return new Promise((done) => {
    canvas.toBlob(done, 'image/jpeg', QUALITY);
  });
}

/** @param {HTMLVideoElement} video */
function trackOf({ srcObject }) {
  return srcObject instanceof MediaStream ? srcObject.getVideoTracks()[0] : undefined;
}

/**
 * @param {HTMLVideoElement} video
 * @returns {Promise<ImageBitmap | null>} null if the camera takes no photos, is slow, or takes none that is better
 */
async function stillOf(video) {
  const track = trackOf(video);
  const ImageCapture = /** @type {any} */ (globalThis)['ImageCapture'];
  // While the light is on the live view is taken, because some phones turn it off for a photo.
  if (!track || !ImageCapture || /** @type {any} */ (track.getSettings?.())?.torch) return null;
  try {
    const slow = new Promise((_, fail) => setTimeout(fail, PATIENCE_MS, new Error('the camera is slow')));
    const photo = await Promise.race([new ImageCapture(track).takePhoto(), slow]);
    const still = await createImageBitmap(photo);
    if (isBetter(still, video)) return still;
    still.close();
  } catch {
    // The live view is a photo too.
  }
  return null;
}

/**
 * Tell whether a photo has more pixels than the live view and lies as it does.
 * @param {ImageBitmap} still
 * @param {HTMLVideoElement} video
 */
function isBetter({ width, height }, { videoWidth, videoHeight }) {
  return width * height > videoWidth * videoHeight && width > height === videoWidth > videoHeight;
}

/**
 * Return what turns the camera's light on and off.
 * @param {HTMLVideoElement} video
 * @returns {((isOn: boolean) => Promise<boolean>) | null} tells whether it did; null if the camera has no light
 */
export function torchOf(video) {
  const track = trackOf(video);
  const can = /** @type {any} */ (track?.getCapabilities?.());
  if (!track || !can?.torch) return null;
  return async (isOn) => {
    try {
      await track.applyConstraints({ advanced: [/** @type {any} */ ({ torch: isOn })] });
      return true;
    } catch {
      return false;
    }
  };
}

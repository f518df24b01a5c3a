// Decodes a photo at a bounded size, so that a huge one does not fill the phone's memory.
import { toGray } from './image/gray.js';
import { HEADER_BYTES, pictureSize } from './image/picture_size.js';

/** The longest edge that is kept: two-millimetre print of a label that fills the photo is 30 pixels high. */
const LONGEST_EDGE_PX = 2400;
const BARCODE_EDGE_PX = 1200;
/** More pixels than this are refused; a phone's largest photos have 200 million. */
const MOST_PIXELS = 120e6;
/** A photo with more pixels than this that cannot be decoded is more likely too large than broken. */
const MANY_PIXELS = 40e6;

/** `code`: not_a_picture, too_large. */
export class PhotoDecodeError extends Error {
  /** @param {'not_a_picture' | 'too_large'} code @param {unknown} [cause] */
  constructor(code, cause) {
    super(code, { cause });
    this.name = 'PhotoDecodeError';
    this.code = code;
  }
}

/**
 * @param {Blob} photo
 * @returns {Promise<{ gray: import('./image/gray.js').Gray, scale: number, width: number, height: number, barcodes:
 *   ImageData }>} `width` and `height` as the photo is shown, upright; `scale` of the gray picture to it
 */
export async function decodePhoto(photo) {
  const stored = pictureSize(new Uint8Array(await photo.slice(0, HEADER_BYTES).arrayBuffer()));
  const pixelCount = stored ? stored.width * stored.height : 0;
  if (pixelCount > MOST_PIXELS) throw new PhotoDecodeError('too_large');
  const shrunk = stored ? LONGEST_EDGE_PX / Math.max(stored.width, stored.height) : 1;
  const bitmap = await createImageBitmap(photo, {
    imageOrientation: 'from-image',
    ...(stored && shrunk < 1 && { resizeWidth: Math.round(stored.width * shrunk), resizeQuality: 'high' }),
  }).catch((cause) => {
    throw new PhotoDecodeError(pixelCount > MANY_PIXELS ? 'too_large' : 'not_a_picture', cause);
  });
  try {
    const { width, height } = shownSize(bitmap, stored);
    if (width * height > MOST_PIXELS) throw new PhotoDecodeError('too_large');
    const longest = Math.max(bitmap.width, bitmap.height);
    const pixels = drawn(bitmap, Math.min(1, LONGEST_EDGE_PX / longest));
    const barcodes = drawn(bitmap, Math.min(1, BARCODE_EDGE_PX / longest));
    return { gray: toGray(pixels), scale: pixels.width / width, width, height, barcodes };
  } finally {
    bitmap.close();
  }
}

/**
 * Return the size at which the photo is shown: as stored, or turned by its metadata.
 * @param {ImageBitmap} bitmap
 * @param {{ width: number, height: number } | null} stored
 */
function shownSize(bitmap, stored) {
  if (!stored) return { width: bitmap.width, height: bitmap.height };
  const isTurned = bitmap.width > bitmap.height !== stored.width > stored.height;
  return isTurned ? { width: stored.height, height: stored.width } : stored;
}

/** @param {ImageBitmap} bitmap @param {number} scale @returns {ImageData} */
function drawn(bitmap, scale) {
  const [width, height] = [bitmap.width, bitmap.height].map((edge) => Math.max(1, Math.round(edge * scale)));
  const canvas = new OffscreenCanvas(Number(width), Number(height));
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new PhotoDecodeError('too_large');
  context.imageSmoothingQuality = 'high';
  // A transparent picture is read as if on white paper.
  context.fillStyle = 'white';
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  return context.getImageData(0, 0, canvas.width, canvas.height);
}

// Decodes a photo at a bounded size, so that a huge one does not fill the phone's memory.
import { toGray } from './image/gray.js';

/** The longest edge that is kept: two-millimetre print of a label that fills the photo is 30 pixels high. */
const LONGEST_EDGE_PX = 2400;
const BARCODE_EDGE_PX = 1200;
/** More pixels than this are refused; a phone's largest photos have 200 million. */
const MOST_PIXELS = 120e6;

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
  const bitmap = await createImageBitmap(photo, { imageOrientation: 'from-image' }).catch((cause) => {
    throw new PhotoDecodeError('not_a_picture', cause);
  });
  try {
    const { width, height } = bitmap;
    if (width * height > MOST_PIXELS) throw new PhotoDecodeError('too_large');
    const scale = Math.min(1, LONGEST_EDGE_PX / Math.max(width, height));
    const pixels = drawn(bitmap, scale);
    const barcodes = drawn(bitmap, Math.min(1, BARCODE_EDGE_PX / Math.max(width, height)));
    return { gray: toGray(pixels), scale, width, height, barcodes };
  } finally {
    bitmap.close();
  }
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

/** Resizes an image for storage and upload. Drawing it on a canvas removes all metadata. */

const MAX_EDGE_PX = 1_600;
const QUALITY = 0.82;

/** `code`: not_image. */
export class PhotoError extends Error {
  /** @param {'not_image'} code @param {unknown} cause */
  constructor(code, cause) {
    super(code, { cause });
    this.name = 'PhotoError';
    this.code = code;
  }
}

/**
 * @param {Blob} file
 * @returns {Promise<{ bytes: ArrayBuffer, media_type: 'image/jpeg', width_px: number, height_px: number }>}
 * @throws {PhotoError}
 */
export async function resizePhoto(file) {
  const picture = await createImageBitmap(file).catch((cause) => {
    throw new PhotoError('not_image', cause);
  });
  const scale = Math.min(1, MAX_EDGE_PX / Math.max(picture.width, picture.height));
  const [width_px, height_px] = [picture.width, picture.height].map((edge) => Math.max(1, Math.round(edge * scale)));
  const canvas = new OffscreenCanvas(Number(width_px), Number(height_px));
  const context = canvas.getContext('2d');
  if (!context) throw new PhotoError('not_image', null);
  context.fillStyle = 'white';
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality: QUALITY });
  return {
    bytes: await blob.arrayBuffer(),
    media_type: 'image/jpeg',
    width_px: canvas.width,
    height_px: canvas.height,
  };
}

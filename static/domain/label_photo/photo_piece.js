// Pieces of a photo, drawn from one bitmap that is no larger than a screen needs.
import { html, useLayoutEffect, useRef } from '../../lib/ui.js';
import { t } from '../../i18n.js';

/** @typedef {import('./reader.js').Box} Box */
/** @typedef {{ bitmap: ImageBitmap, scale: number }} Picture scale: pixels of the bitmap for one of the photo */

const MAX_EDGE_PX = 2400;
/** Space around a piece, in heights of its print. */
const MARGIN = 0.25;

/** @param {Blob} photo @returns {Promise<Picture>} */
export async function openPhoto(photo) {
  const whole = await createImageBitmap(photo);
  const scale = Math.min(1, MAX_EDGE_PX / Math.max(whole.width, whole.height));
  if (scale === 1) return { bitmap: whole, scale };
  const bitmap = await createImageBitmap(whole, {
    resizeWidth: Math.round(whole.width * scale),
    resizeQuality: 'medium',
  });
  whole.close();
  return { bitmap, scale };
}

/** @param {{ picture: Picture, box: Box, text: string }} props text: what was read there */
export function PhotoPiece({ picture, box, text }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const { left, top, width, height } = pieceOf(picture, box);
  useLayoutEffect(() => {
    canvas.current?.getContext('2d')?.drawImage(picture.bitmap, left, top, width, height, 0, 0, width, height);
  }, [picture, left, top, width, height]);
  return html`<canvas class="photo-piece" ref=${canvas} width=${width} height=${height} role="img"
    aria-label=${t('label_photo.piece', { text })}></canvas>`;
}

/** @param {Picture} picture @param {Box} box */
export function pieceOf({ bitmap, scale }, { x, y, width, height }) {
  const margin = height * MARGIN;
  const [left, top] = [x - margin, y - margin].map((edge) => Math.max(0, Math.floor(edge * scale)));
  const right = Math.min(bitmap.width, Math.ceil((x + width + margin) * scale));
  const bottom = Math.min(bitmap.height, Math.ceil((y + height + margin) * scale));
  return {
    left: Number(left),
    top: Number(top),
    width: Math.max(1, right - Number(left)),
    height: Math.max(1, bottom - Number(top)),
  };
}

// Pieces of a photo, drawn from one bitmap that is no larger than a screen needs.
import { html, useLayoutEffect, useRef } from '../../lib/ui.js';
import { t } from '../../i18n.js';

/** @typedef {import('./reader.js').Box} Box */
/**
 * @typedef {{ bitmap: ImageBitmap, scale: number, angle: number }} Picture scale: pixels of the bitmap for one of the
 *   photo; angle: of the lines of print to the horizontal, clockwise, in radians
 */

const MAX_EDGE_PX = 2400;
/** Space around a piece, in heights of its print; or, for a long line that is not quite level, in lengths of it. */
const MARGIN = 0.25;
const MARGIN_OF_LENGTH = 0.012;
/** Print takes at least this part of the height of the box around it. */
const LEAST_LEVEL = 0.2;

/** @param {Blob} photo @param {number} [angle] @returns {Promise<Picture>} */
export async function openPhoto(photo, angle = 0) {
  const whole = await createImageBitmap(photo);
  const scale = Math.min(1, MAX_EDGE_PX / Math.max(whole.width, whole.height));
  if (scale === 1) return { bitmap: whole, scale, angle };
  const bitmap = await createImageBitmap(whole, {
    resizeWidth: Math.round(whole.width * scale),
    resizeQuality: 'medium',
  });
  whole.close();
  return { bitmap, scale, angle };
}

/** @param {{ picture: Picture, box: Box, text: string }} props text: what was read there */
export function PhotoPiece({ picture, box, text }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const { x, y, width, height } = pieceOf(picture, box);
  useLayoutEffect(() => {
    const pen = canvas.current?.getContext('2d');
    if (!pen) return;
    pen.resetTransform();
    pen.translate(width / 2, height / 2);
    pen.rotate(-picture.angle);
    pen.drawImage(picture.bitmap, -x, -y);
  }, [picture, x, y, width, height]);
  return html`<canvas class="photo-piece" ref=${canvas} width=${width} height=${height} role="img"
    aria-label=${t('label_photo.piece', { text })}></canvas>`;
}

/**
 * Return the middle of a piece in the bitmap, and its size after the lines of print are made level.
 * @param {Picture} picture
 * @param {Box} box upright around the tilted print, so that it holds parts of the lines above and below
 */
export function pieceOf({ scale, angle }, box) {
  const level = levelSize(box, angle);
  const margin = 2 * Math.max(level.height * MARGIN, level.width * MARGIN_OF_LENGTH);
  return {
    x: (box.x + box.width / 2) * scale,
    y: (box.y + box.height / 2) * scale,
    width: Math.max(1, Math.ceil((level.width + margin) * scale)),
    height: Math.max(1, Math.ceil((level.height + margin) * scale)),
  };
}

/**
 * Return the size of the rectangle that lies tilted in an upright box and touches its four sides.
 * @param {Box} box
 * @param {number} angle
 */
function levelSize({ width, height }, angle) {
  const [cos, sin] = [Math.cos(angle), Math.abs(Math.sin(angle))];
  const level = { width: (width * cos - height * sin) / (cos ** 2 - sin ** 2), height: height * cos - width * sin };
  level.height /= cos ** 2 - sin ** 2;
  // A box that no such rectangle fits, such as one that was read from a curved line, is shown whole.
  return level.height >= height * LEAST_LEVEL && level.width > 0 ? level : { width, height };
}

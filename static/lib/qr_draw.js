// Draws QR codes as SVG. A text of capital letters, digits and `$%*+-./: ` takes less room, because QR codes have a
// mode of their own for it.
import { html } from './ui.js';
import encodeQR from '../vendor/qr.js';

/** Light modules around the code (ISO/IEC 18004). */
const QUIET_ZONE = 4;

/**
 * @param {string} text
 * @param {'low' | 'medium' | 'quartile' | 'high'} [ecc] how much of the code may be unreadable
 * @returns {{ size: number, path: string }} width in modules, quiet zone included, and the dark modules as an SVG path
 */
export function qrPath(text, ecc = 'medium') {
  const rows = encodeQR(text, 'raw', { ecc, border: QUIET_ZONE });
  return { size: rows.length, path: rows.map(pathOfRow).join('') };
}

/** @param {boolean[]} row @param {number} y */
function pathOfRow(row, y) {
  let path = '';
  for (let x = 0; x < row.length; x += 1) {
    if (!row[x]) continue;
    const start = x;
    while (row[x + 1]) x += 1;
    path += `M${start} ${y}h${x + 1 - start}v1h${start - x - 1}z`;
  }
  return path;
}

/**
 * Draw a text as a QR code, dark on white by night too, because readers expect it.
 * @param {{ text: string, label: string, ecc?: 'low' | 'medium' | 'quartile' | 'high' }} props label: what a screen
 *   reader says instead
 */
export function QrCode({ text, label, ecc = 'medium' }) {
  const { size, path } = qrPath(text, ecc);
  return html`<svg class="qr-code" viewBox=${`0 0 ${size} ${size}`} role="img" aria-label=${label}
      shape-rendering="crispEdges">
    <rect width=${size} height=${size} fill="white" /><path d=${path} fill="black" />
  </svg>`;
}

// Reads a picture's size from the start of its file, so that a huge one is not decoded in full.

/** @typedef {{ width: number, height: number }} Size as stored, before a rotation that the file asks for */

/** So much of the start of a file holds the size; metadata with a preview may come before it. */
export const HEADER_BYTES = 512 * 1024;

/**
 * @param {Uint8Array<ArrayBuffer>} bytes the start of the file
 * @returns {Size | null} null if the format is another one, or the size is not in these bytes
 */
export function pictureSize(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 30) return null;
  if (view.getUint32(0) === 0x89504e47) return { width: view.getUint32(16), height: view.getUint32(20) };
  if (view.getUint16(0) === 0xffd8) return jpegSize(view);
  if (view.getUint32(0) === 0x52494646 && view.getUint32(8) === 0x57454250) return webpSize(view);
  return null;
}

/** @param {DataView} view @returns {Size | null} */
function jpegSize(view) {
  let at = 2;
  while (at + 9 < view.byteLength) {
    if (view.getUint8(at) !== 0xff) return null;
    const marker = view.getUint8(at + 1);
    const isFrame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (isFrame) return { height: view.getUint16(at + 5), width: view.getUint16(at + 7) };
    at += marker === 0xff ? 1 : 2 + view.getUint16(at + 2);
  }
  return null;
}

/** @param {DataView} view @returns {Size | null} */
function webpSize(view) {
  const kind = view.getUint32(12);
  const three = (/** @type {number} */ at) => view.getUint16(at, true) + (view.getUint8(at + 2) << 16);
  // VP8X, VP8L and VP8.
  if (kind === 0x56503858) return { width: three(24) + 1, height: three(27) + 1 };
  if (kind === 0x5650384c) {
    const bits = view.getUint32(21, true);
    return { width: (bits & 0x3fff) + 1, height: ((bits >> 14) & 0x3fff) + 1 };
  }
  return { width: view.getUint16(26, true) & 0x3fff, height: view.getUint16(28, true) & 0x3fff };
}

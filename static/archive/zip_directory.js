// Reads a ZIP by the directory at its end, so that entries are found in any order, and a file that lost its end or a
// part is known (APPNOTE 4.3.7, 4.3.12, 4.3.14 to 4.3.16).

const END = 0x06054b50;
const LARGE_END_PLACE = 0x07064b50;
const LARGE_END = 0x06064b50;
const ENTRY = 0x02014b50;
const HEADER = 0x04034b50;
const END_BYTES = 22;
const LARGE_END_PLACE_BYTES = 20;
const LARGE_END_BYTES = 56;
const COMMENT_BYTES = 65_535;
const ENTRY_BYTES = 46;
const HEADER_BYTES = 30;
/** Stands for a number of the extension for large files. */
const LARGE = 0xffffffff;
const [STORED, DEFLATED] = [0, 8];

/** @typedef {{ method: number, packed: number, size: number, at: number }} Entry packed: bytes in the file */

/** @param {Blob} file @returns {Promise<boolean>} whether it begins with an entry */
export async function isZip(file) {
  return (await contentPlace(file, 0)) !== null;
}

/** @param {Blob} file @returns {Promise<Map<string, Entry> | null>} by name; null if it is missing or damaged */
export async function readDirectory(file) {
  const from = Math.max(0, file.size - END_BYTES - COMMENT_BYTES);
  const tail = await bytesOf(file, from, file.size - from);
  for (let at = tail.byteLength - END_BYTES; at >= 0; at -= 1) {
    if (tail.getUint32(at, true) !== END) continue;
    const [size, start] = [tail.getUint32(at + 12, true), tail.getUint32(at + 16, true)];
    const place = start === LARGE ? await placeInLarge(file, from + at) : { start, size };
    return place && entriesIn(await bytesOf(file, place.start, place.size), place.size);
  }
  return null;
}

/**
 * @param {Blob} file
 * @param {Entry} entry
 * @returns {Promise<string | null>} null if it is damaged
 */
export async function readText(file, { method, packed, size, at }) {
  const start = await contentPlace(file, at);
  if (start === null || ![STORED, DEFLATED].includes(method)) return null;
  const stream = file.slice(start, start + packed).stream();
  const plain = method === STORED ? stream : stream.pipeThrough(new DecompressionStream('deflate-raw'));
  const bytes = await new Response(plain).arrayBuffer().catch(() => null);
  return bytes?.byteLength === size ? new TextDecoder().decode(bytes) : null;
}

/** @param {Blob} file @param {number} at of an entry @returns {Promise<number | null>} null if there is no entry */
async function contentPlace(file, at) {
  const header = await bytesOf(file, at, HEADER_BYTES);
  if (header.byteLength < HEADER_BYTES || header.getUint32(0, true) !== HEADER) return null;
  return at + HEADER_BYTES + header.getUint16(26, true) + header.getUint16(28, true);
}

/** @param {Blob} file @param {number} endAt of the ordinary end, which follows that of a large file */
async function placeInLarge(file, endAt) {
  const told = await bytesOf(file, Math.max(0, endAt - LARGE_END_PLACE_BYTES), LARGE_END_PLACE_BYTES);
  if (told.byteLength < LARGE_END_PLACE_BYTES || told.getUint32(0, true) !== LARGE_END_PLACE) return null;
  const end = await bytesOf(file, Number(told.getBigUint64(8, true)), LARGE_END_BYTES);
  if (end.byteLength < LARGE_END_BYTES || end.getUint32(0, true) !== LARGE_END) return null;
  return { size: Number(end.getBigUint64(40, true)), start: Number(end.getBigUint64(48, true)) };
}

/** @param {Blob} file @param {number} at @param {number} length */
async function bytesOf(file, at, length) {
  return new DataView(await file.slice(at, at + length).arrayBuffer());
}

/** @param {DataView} directory @param {number} size as written at the end @returns {Map<string, Entry> | null} */
function entriesIn(directory, size) {
  if (directory.byteLength !== size) return null;
  const decoder = new TextDecoder();
  const entries = new Map();
  for (let at = 0; at < size;) {
    if (at + ENTRY_BYTES > size || directory.getUint32(at, true) !== ENTRY) return null;
    const named = directory.getUint16(at + 28, true);
    const more = directory.getUint16(at + 30, true) + directory.getUint16(at + 32, true);
    if (at + ENTRY_BYTES + named > size) return null;
    const name = decoder.decode(new Uint8Array(directory.buffer, at + ENTRY_BYTES, named));
    entries.set(name, {
      method: directory.getUint16(at + 10, true),
      packed: directory.getUint32(at + 20, true),
      size: directory.getUint32(at + 24, true),
      at: directory.getUint32(at + 42, true),
    });
    at += ENTRY_BYTES + named + more;
  }
  return entries;
}

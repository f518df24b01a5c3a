// The directory at the end of a ZIP, by which a file that lost its end or a part is known (APPNOTE 4.3.12, 4.3.16).

const END = 0x06054b50;
const ENTRY = 0x02014b50;
const END_BYTES = 22;
const COMMENT_BYTES = 65_535;
const ENTRY_BYTES = 46;
/** Stands for a number of the extension for large files. */
const LARGE = 0xffffffff;

/**
 * @param {Blob} file
 * @returns {Promise<Map<string, number> | null>} bytes of each entry by name, without those of large files; null if the
 *   directory is missing or damaged
 */
export async function readDirectory(file) {
  const from = Math.max(0, file.size - END_BYTES - COMMENT_BYTES);
  const tail = new DataView(await file.slice(from).arrayBuffer());
  for (let at = tail.byteLength - END_BYTES; at >= 0; at -= 1) {
    if (tail.getUint32(at, true) !== END) continue;
    const [size, start] = [tail.getUint32(at + 12, true), tail.getUint32(at + 16, true)];
    if (start === LARGE) return new Map();
    return entriesIn(new DataView(await file.slice(start, start + size).arrayBuffer()), size);
  }
  return null;
}

/** @param {DataView} directory @param {number} size as written at the end @returns {Map<string, number> | null} */
function entriesIn(directory, size) {
  if (directory.byteLength !== size) return null;
  const decoder = new TextDecoder();
  const bytes = new Map();
  for (let at = 0; at < size;) {
    if (at + ENTRY_BYTES > size || directory.getUint32(at, true) !== ENTRY) return null;
    const named = directory.getUint16(at + 28, true);
    const more = directory.getUint16(at + 30, true) + directory.getUint16(at + 32, true);
    if (at + ENTRY_BYTES + named > size) return null;
    const name = decoder.decode(new Uint8Array(directory.buffer, at + ENTRY_BYTES, named));
    const length = directory.getUint32(at + 24, true);
    if (length !== LARGE) bytes.set(name, length);
    at += ENTRY_BYTES + named + more;
  }
  return bytes;
}

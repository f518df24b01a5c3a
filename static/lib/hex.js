/** @param {Iterable<number>} bytes @returns {string} two hex digits for each */
export function hex(bytes) {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

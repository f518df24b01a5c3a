// Base45 (RFC 9285): bytes as the characters for which a QR code has its compact alphanumeric mode.

const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:';

/** @param {Uint8Array} bytes @returns {string} */
export function base45(bytes) {
  let text = '';
  for (let at = 0; at < bytes.length; at += 2) {
    const isPair = at + 1 < bytes.length;
    let value = isPair ? Number(bytes[at]) * 256 + Number(bytes[at + 1]) : Number(bytes[at]);
    for (let digit = 0; digit < (isPair ? 3 : 2); digit += 1) {
      text += ALPHABET[value % 45];
      value = Math.floor(value / 45);
    }
  }
  return text;
}

/** @param {string} text @returns {Uint8Array | null} null if it is not the base45 form of any bytes */
export function bytesOfBase45(text) {
  if (text.length % 3 === 1) return null;
  const bytes = [];
  for (let at = 0; at < text.length; at += 3) {
    const digits = [...text.slice(at, at + 3)].map((one) => ALPHABET.indexOf(one));
    if (digits.includes(-1)) return null;
    const value = digits.reduceRight((sum, digit) => sum * 45 + digit, 0);
    if (value > (digits.length === 3 ? 0xffff : 0xff)) return null;
    if (digits.length === 3) bytes.push(value >> 8);
    bytes.push(value & 0xff);
  }
  return Uint8Array.from(bytes);
}

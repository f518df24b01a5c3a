// Derives the id of a sheet from its guest and glass, so that a sheet that arrives by two ways is one record. Mirrored
// by webapp/group_tasting/ids.py. Web Crypto is missing over plain http, hence the library.
import { hex } from '../../lib/hex.js';
import { sha256 } from '../../vendor/noble-hashes/sha2.js';

const ID_BYTES = 16;

/**
 * @param {string} guest
 * @param {string} glass
 * @returns {string} a UUID of version 8 (RFC 9562) whose bits are a hash of both ids
 */
export function sheetId(guest, glass) {
  return hashedId(`sheet:${guest}:${glass}`);
}

/** @param {string} text @returns {string} a UUID of version 8, the same for the same text */
export function hashedId(text) {
  const bytes = sha256(new TextEncoder().encode(text)).slice(0, ID_BYTES);
  bytes.set([(Number(bytes[6]) & 0x0f) | 0x80], 6);
  bytes.set([(Number(bytes[8]) & 0x3f) | 0x80], 8);
  return hex(bytes).replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

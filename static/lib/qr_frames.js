/**
 * Splits a document into the texts of QR codes that are shown in turn, and puts them together again in any order:
 *
 *     SN1:<base45 of: set (4 bytes) | number | count | part of the deflated JSON | check (4 bytes)>
 *
 * The set is the beginning of the SHA-256 of all deflated bytes; the check is that of the frame before it.
 */
import { sha256 } from '../vendor/noble-hashes/sha2.js';
import { base45, bytesOfBase45 } from './base45.js';

const PREFIX = 'SN1:';
const MARK_BYTES = 4;
const HEAD_BYTES = MARK_BYTES + 2;
/** A frame of so many bytes is a QR code of version 10, which phones read from a screen at once. */
const PART_BYTES = 190;
const MAX_FRAMES = 99;
/** Limit of an inflated document, so that a few frames cannot fill the memory. */
const MAX_DOCUMENT_BYTES = 512 * 1024;
/** Other sets whose frames are kept while several screens are in view. */
const MAX_SETS = 4;

/** `code`: too_large (too many frames) or unreadable (the frames do not hold a document). */
class FrameError extends Error {
  /** @param {'too_large' | 'unreadable'} code @param {unknown} [cause] */
  constructor(code, cause) {
    super(code, { cause });
    this.name = 'FrameError';
    this.code = code;
  }
}

/**
 * @param {unknown} document as JSON has it
 * @param {number} [partBytes] bytes of the document in a frame
 * @returns {Promise<string[]>} texts of the codes
 * @throws {FrameError}
 */
export async function framesOf(document, partBytes = PART_BYTES) {
  const bytes = await through(new CompressionStream('deflate-raw'), new TextEncoder().encode(JSON.stringify(document)));
  const count = Math.ceil(bytes.length / partBytes);
  if (count > MAX_FRAMES) throw new FrameError('too_large');
  const set = markOf(bytes);
  return Array.from({ length: count }, (_, at) => {
    const frame = [...set, at, count, ...bytes.subarray(at * partBytes, (at + 1) * partBytes)];
    return PREFIX + base45(Uint8Array.from([...frame, ...markOf(Uint8Array.from(frame))]));
  });
}

/** @typedef {{ set: string, at: number, count: number, part: Uint8Array }} Frame */

/** @param {string} text of a code @returns {Frame | null} null if it is no frame, or a damaged one */
export function readFrame(text) {
  const bytes = text.startsWith(PREFIX) ? bytesOfBase45(text.slice(PREFIX.length)) : null;
  if (!bytes || bytes.length <= HEAD_BYTES + MARK_BYTES) return null;
  const body = bytes.subarray(0, -MARK_BYTES);
  if (!isSame(markOf(body), bytes.subarray(-MARK_BYTES))) return null;
  const [at, count] = [Number(body[MARK_BYTES]), Number(body[MARK_BYTES + 1])];
  if (at >= count || count > MAX_FRAMES) return null;
  return { set: body.subarray(0, MARK_BYTES).join(), at, count, part: body.slice(HEAD_BYTES) };
}

/**
 * @typedef {{ have: number, count: number, bytes: Uint8Array | null }} Progress of the set that the last frame
 *   belongs to; `bytes` once it is complete
 */

/**
 * Collect the frames of a document in any order; a repeated one changes nothing.
 * @returns {{ add: (text: string) => Progress | null }} add returns null for a text that is no frame, or damaged
 */
export function collectFrames() {
  /** @type {Map<string, Map<number, Uint8Array>>} */
  const sets = new Map();
  return {
    add(text) {
      const frame = readFrame(text);
      if (!frame) return null;
      const name = `${frame.set}/${frame.count}`;
      const parts = sets.get(name) ?? new Map();
      // The set that was seen last stays longest.
      sets.delete(name);
      sets.set(name, parts.set(frame.at, frame.part));
      for (const oldest of sets.keys()) if (sets.size > MAX_SETS) sets.delete(oldest);
      const progress = { have: parts.size, count: frame.count, bytes: null };
      if (parts.size < frame.count) return progress;
      const bytes = joined(parts, frame.count);
      if (markOf(bytes).join() === frame.set) return { ...progress, bytes };
      // Frames of two documents with the same mark: begin anew.
      sets.delete(name);
      return { ...progress, have: 0 };
    },
  };
}

/**
 * @param {Uint8Array} bytes of a complete set
 * @returns {Promise<any>} the document
 * @throws {FrameError}
 */
export async function documentOf(bytes) {
  try {
    const text = await through(new DecompressionStream('deflate-raw'), bytes, MAX_DOCUMENT_BYTES);
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(text));
  } catch (cause) {
    throw new FrameError('unreadable', cause);
  }
}

/** @param {Map<number, Uint8Array>} parts @param {number} count */
function joined(parts, count) {
  return Uint8Array.from(Array.from({ length: count }, (_, at) => [...(parts.get(at) ?? [])]).flat());
}

/** @param {Uint8Array} bytes */
function markOf(bytes) {
  return sha256(bytes).subarray(0, MARK_BYTES);
}

/** @param {Uint8Array} one @param {Uint8Array} other */
function isSame(one, other) {
  return one.length === other.length && one.every((byte, at) => byte === other[at]);
}

/**
 * @param {{ readable: ReadableStream, writable: WritableStream }} stream
 * @param {Uint8Array} bytes
 * @param {number} [limit] bytes of the result
 * @returns {Promise<Uint8Array>}
 * @throws if the input is invalid, or the result too long
 */
async function through(stream, bytes, limit = Infinity) {
  const writer = stream.writable.getWriter();
  // An error of the input also ends the reading, which reports it.
  writer.write(bytes).catch(() => undefined);
  writer.close().catch(() => undefined);
  const reader = stream.readable.getReader();
  /** @type {Uint8Array[]} */
  const parts = [];
  let length = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    parts.push(value);
    length += value.length;
    if (length > limit) {
      await reader.cancel().catch(() => undefined);
      throw new FrameError('too_large');
    }
  }
  const all = new Uint8Array(length);
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

/**
 * Photos: resized on the phone and queued apart from the records. upload.js sends them after the
 * records.
 *
 * @typedef {Object} PhotoBytes a row of `photo_bytes`
 * @property {string} id of the photo's record
 * @property {ArrayBuffer} bytes
 * @property {string} media_type
 * @property {'unsent' | 'sent' | 'refused'} state sent ones are a cache, deleted when the phone is
 *   full
 * @property {import('../store/validate.js').FieldErrors | null} errors why it was rejected
 * @property {number} tries
 * @property {number} not_before_ms
 * @property {boolean} [was_sent] sent to a server that was restored since, and may still have it
 */
import { hex } from '../lib/hex.js';
import { timestamp } from '../lib/datetime.js';
import { ownerHeader } from '../store/owner.js';
import { newId } from '../store/record.js';
import { freeSpace } from '../store/evict.js';
import { resizePhoto } from './resize.js';
import { isQuotaExceeded } from '../store/errors.js';
import { timing } from '../config.js';
import { db, withReconnect, transaction } from '../store/database.js';
import { save } from '../store/write.js';

export { photosOf } from '../store/queries.js';

/**
 * @param {{ bottle?: string, tasting?: string }} of
 * @param {Blob} file original file
 * @returns {Promise<string>} the id of the photo's record
 * @throws {import('./resize.js').PhotoError | import('../store/errors.js').StoreError}
 */
export async function addPhoto(of, file) {
  const { bytes, media_type, width_px, height_px } = await resizePhoto(file);
  const id = newId();
  await putBytes({ id, bytes, media_type, state: 'unsent', errors: null, tries: 0, not_before_ms: 0 });
  try {
    await save('photo', id, {
      ...of,
      taken_at: timestamp(),
      media_type,
      width_px,
      height_px,
      bytes: bytes.byteLength,
      sha256: await sha256(bytes),
    });
  } catch (error) {
    await transaction('rw', ['photo_bytes'], (tx) => tx.photo_bytes.delete(id)).catch(() => undefined);
    throw error;
  }
  return id;
}

/**
 * @param {string} id
 * @returns {Promise<Blob | null>} from the phone, or else from the server; null if neither has it
 */
export async function photo(id) {
  return (await findPhoto(id)).blob;
}

/**
 * @param {string} id
 * @returns {Promise<{ blob: Blob | null, isUnsent: boolean }>} isUnsent: the server does not have it either, because
 *   the phone that took it sends it after the note
 */
export async function findPhoto(id) {
  /** @type {PhotoBytes | undefined} */
  const stored = await withReconnect(() => db.photo_bytes.get(id));
  if (stored) return { blob: new Blob([stored.bytes], { type: stored.media_type }), isUnsent: false };
  try {
    const response = await fetch(`/api/photos/${id}`, {
      headers: await ownerHeader(),
      signal: AbortSignal.timeout(timing.request_timeout_ms),
    });
    const found = response.ok ? await response.blob() : null;
    // A captive portal may answer 404 too, but with a page.
    const isUnsent = response.status === 404 && /json/.test(response.headers.get('Content-Type') ?? '');
    return { blob: found?.type.startsWith('image/') ? found : null, isUnsent };
  } catch {
    return { blob: null, isUnsent: false };
  }
}

/**
 * @returns {Promise<{ unsent: number, refused: { id: string, errors: import('../store/validate.js').FieldErrors }[]
 *   }>}
 */
export function photoQueue() {
  return withReconnect(async () => {
    const unsent = await db.photo_bytes.where('state').equals('unsent').count();
    const refused = await db.photo_bytes.where('state').equals('refused').toArray();
    return { unsent, refused: refused.map(({ id, errors }) => ({ id, errors: errors ?? {} })) };
  });
}

/** @param {PhotoBytes} row */
async function putBytes(row) {
  try {
    await transaction('rw', ['photo_bytes'], (tx) => tx.photo_bytes.put(row));
  } catch (error) {
    if (!isQuotaExceeded(error) || !(await freeSpace())) throw error;
    await transaction('rw', ['photo_bytes'], (tx) => tx.photo_bytes.put(row));
  }
}

/**
 * @param {ArrayBuffer} bytes
 * @returns {Promise<string | null>} 64 hex digits
 */
async function sha256(bytes) {
  // Without HTTPS there is no `crypto.subtle`; the server computes the hash anyway.
  if (!crypto.subtle) return null;
  const digest = await crypto.subtle.digest('SHA-256', bytes);
  return hex(new Uint8Array(digest));
}

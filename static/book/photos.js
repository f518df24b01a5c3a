/**
 * Photos: scaled on the phone, queued apart from the records, sent one by one after them, so that they never delay a note.
 *
 * @typedef {Object} PhotoBytes a row of `photo_bytes`
 * @property {string} id of the photo's record
 * @property {ArrayBuffer} bytes
 * @property {string} media_type
 * @property {'unsent' | 'sent' | 'refused'} state sent ones are copies, dropped when the phone is full
 * @property {import('./check.js').Faults | null} errors why it was refused
 * @property {number} tries
 * @property {number} not_before_ms
 */
import { moment } from './moment.js';
import { ownerHeader } from './owner.js';
import { newId } from './record.js';
import { makeRoom } from './room_on_phone.js';
import { scaledPhoto } from './photo_scale.js';
import { isFull } from './store_error.js';
import { timing } from './sync/timing.js';
import { db, steady, within } from './tables.js';
import { save } from './write.js';

export { PhotoError } from './photo_scale.js';

/**
 * @param {{ bottle?: string, tasting?: string }} of
 * @param {Blob} file as the camera gave it
 * @returns {Promise<string>} the id of the photo's record
 * @throws {import('./photo_scale.js').PhotoError | import('./store_error.js').StoreError}
 */
export async function addPhoto(of, file) {
  const { bytes, media_type, width_px, height_px } = await scaledPhoto(file);
  const id = newId();
  await keepBytes({ id, bytes, media_type, state: 'unsent', errors: null, tries: 0, not_before_ms: 0 });
  try {
    await save('photo', id, {
      ...of, taken_at: moment(), media_type, width_px, height_px, bytes: bytes.byteLength, sha256: await sha256(bytes),
    });
  } catch (error) {
    await within('rw', ['photo_bytes'], (book) => book.photo_bytes.delete(id)).catch(() => undefined);
    throw error;
  }
  return id;
}

/** @param {{ bottle?: string, tasting?: string }} of @returns {Promise<import('./record.js').Row[]>} oldest first */
export function photosOf(of) {
  const [field, id] = of.tasting ? ['tasting', of.tasting] : ['bottle', String(of.bottle)];
  return steady(() => db.photo.where(`fields.${field}`).equals(id).filter((row) => !row.gone).toArray());
}

/**
 * @param {string} id
 * @returns {Promise<Blob | null>} from the phone, or else from the server; null where neither has it now
 */
export async function photo(id) {
  /** @type {PhotoBytes | undefined} */
  const kept = await steady(() => db.photo_bytes.get(id));
  if (kept) return new Blob([kept.bytes], { type: kept.media_type });
  try {
    const response = await fetch(`/api/photos/${id}`, { headers: await ownerHeader(), signal: AbortSignal.timeout(timing.answer_ms) });
    const found = response.ok ? await response.blob() : null;
    return found?.type.startsWith('image/') ? found : null;
  } catch {
    return null;
  }
}

/** @returns {Promise<{ unsent: number, refused: { id: string, errors: import('./check.js').Faults }[] }>} */
export function photoQueue() {
  return steady(async () => {
    const unsent = await db.photo_bytes.where('state').equals('unsent').count();
    const refused = await db.photo_bytes.where('state').equals('refused').toArray();
    return { unsent, refused: refused.map(({ id, errors }) => ({ id, errors: errors ?? {} })) };
  });
}

/** @type {Promise<void> | null} */
let sending = null;

/** Sends what is due, one photo after another. Never throws; what failed is tried again after a later sync. */
export function sendPhotos() {
  sending ??= sendDue().catch(() => undefined).finally(() => { sending = null; });
  return sending;
}

async function sendDue() {
  const ids = await steady(() => db.photo_bytes.where('state').equals('unsent').primaryKeys());
  for (const id of ids) {
    /** @type {PhotoBytes | undefined} */
    const row = await db.photo_bytes.get(id);
    // The server takes the picture of a record that it knows.
    if (!row || row.not_before_ms > Date.now() || await db.outbox.get(id)) continue;
    if (!(await sendOne(row))) return;
  }
}

/** @param {PhotoBytes} row @returns {Promise<boolean>} whether to go on with the next */
async function sendOne(row) {
  const response = await fetch(`/api/photos/${row.id}`, {
    method: 'PUT', body: row.bytes, headers: { ...await ownerHeader(), 'Content-Type': row.media_type },
    redirect: 'error', signal: AbortSignal.timeout(2 * timing.answer_ms),
  }).catch(() => null);
  if (!response) return false;
  if (response.ok) {
    await put({ ...row, state: 'sent', errors: null });
    return true;
  }
  const problem = /json/.test(response.headers.get('Content-Type') ?? '') ? await response.json().catch(() => null) : null;
  if ([400, 413, 415, 422].includes(response.status) && problem) {
    await put({ ...row, state: 'refused', errors: problem.errors ?? { record: [{ code: String(problem.code ?? 'refused') }] } });
    return true;
  }
  const wait_ms = Math.min(timing.backoff_most_ms, timing.backoff_first_ms * 2 ** row.tries);
  await put({ ...row, tries: row.tries + 1, not_before_ms: Date.now() + wait_ms });
  return ![401, 403, 409, 421, 429, 503, 507].includes(response.status);
}

/** @param {PhotoBytes} row */
function put(row) {
  return within('rw', ['photo_bytes'], (book) => book.photo_bytes.put(row));
}

/** @param {PhotoBytes} row */
async function keepBytes(row) {
  try {
    await put(row);
  } catch (error) {
    if (!isFull(error) || !(await makeRoom())) throw error;
    await put(row);
  }
}

/** @param {ArrayBuffer} bytes @returns {Promise<string | null>} 64 hex digits */
async function sha256(bytes) {
  // Pages over plain http on a home network have no such thing; the server makes the hash anyway.
  if (!crypto.subtle) return null;
  const digest = await crypto.subtle.digest('SHA-256', bytes);
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

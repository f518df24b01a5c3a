/**
 * Uploads photos one by one after the records, so that they never delay a note. Failed uploads are
 * retried.
 *
 * @typedef {import('./photos.js').PhotoBytes} PhotoBytes
 */
import { ownerHeader } from '../store/owner.js';
import { timing } from '../config.js';
import { backoffMs } from '../store/backoff.js';
import { db, withReconnect, transaction } from '../store/database.js';

/** @type {Promise<number | null> | null} */
let sending = null;
let again = false;

/**
 * Upload all due photos in sequence. Never throws.
 * @returns {Promise<number | null>} ms until the next try; null if no photo waits
 */
export function uploadPhotos() {
  // A photo added during an upload is not in the current list, so look again.
  again = sending !== null;
  sending ??= sendAll()
    .catch(() => null)
    .finally(() => {
      sending = null;
    });
  return sending;
}

async function sendAll() {
  for (;;) {
    const next_ms = await sendDue();
    if (!again) return Number.isFinite(next_ms) ? Math.max(0, next_ms - Date.now()) : null;
    again = false;
  }
}

/** @returns {Promise<number>} time at which the next one is due; Infinity if none waits */
async function sendDue() {
  let next_ms = Infinity;
  for (const id of await withReconnect(() => db.photo_bytes.where('state').equals('unsent').primaryKeys())) {
    /** @type {PhotoBytes | undefined} */
    const row = await db.photo_bytes.get(id);
    // The server accepts photos only of records that it has; the sync that sends the record calls
    // this again.
    if (!row || (await db.outbox.get(id))) continue;
    const left = row.not_before_ms > Date.now() ? { ...row, stop: false } : await sendOne(row);
    if (left) next_ms = Math.min(next_ms, left.not_before_ms);
    if (left?.stop) break;
  }
  return next_ms;
}

/** Statuses that the next photo would get too. */
const RETRY_STATUSES = [401, 403, 409, 421, 429, 503, 507];

/**
 * @param {PhotoBytes} row
 * @returns {Promise<{ not_before_ms: number, stop: boolean } | null>} null if it is done
 */
async function sendOne(row) {
  if (row.was_sent && (await isThere(row.id))) return finishUpload(row, { state: 'sent' });
  const { response, body: problem } = await photoRequest(
    'PUT',
    row.id,
    { body: row.bytes, headers: { 'Content-Type': row.media_type } },
    // As for a batch of notes: an uplink of a kilobyte a second is slow, not broken.
    2 * timing.request_timeout_ms + row.bytes.byteLength * timing.byte_ms,
  );
  if (response?.ok && problem?.id === row.id) return finishUpload(row, { state: 'sent', errors: null });
  if (response && problem && [400, 413, 415, 422].includes(response.status)) {
    return finishUpload(row, {
      state: 'refused',
      errors: problem.errors ?? { record: [{ code: String(problem.code ?? 'refused') }] },
    });
  }
  const tries = row.tries + 1;
  const not_before_ms = Date.now() + backoffMs(tries);
  await putRow({ ...row, tries, not_before_ms });
  return { not_before_ms, stop: !response || response.ok || RETRY_STATUSES.includes(response.status) };
}

/** @param {PhotoBytes} row @param {Partial<PhotoBytes>} end @returns {Promise<null>} */
async function finishUpload(row, end) {
  await putRow({ ...row, tries: 0, not_before_ms: 0, was_sent: false, ...end });
  return null;
}

/**
 * @param {string} id
 * @returns {Promise<boolean>} whether a restored server still has it
 */
async function isThere(id) {
  const { response } = await photoRequest('HEAD', id, {}, timing.request_timeout_ms);
  return Boolean(response?.ok && response.headers.get('Content-Type')?.startsWith('image/'));
}

/**
 * @param {'PUT' | 'HEAD'} method
 * @param {string} id
 * @param {RequestInit} more
 * @param {number} timeout_ms for the answer and its body
 * @returns {Promise<{ response: Response | null, body: any }>} body: the JSON of the answer, or null
 */
async function photoRequest(method, id, more, timeout_ms) {
  const timeout = new AbortController();
  const timer = setTimeout(() => {
    timeout.abort();
  }, timeout_ms);
  try {
    const headers = { ...more.headers, ...(await ownerHeader()) };
    const fixed = {
      method,
      headers,
      redirect: /** @type {const} */ ('error'),
      cache: /** @type {const} */ ('no-store'),
    };
    const response = await fetch(`/api/photos/${id}`, { ...more, ...fixed, signal: timeout.signal });
    // A captive portal may answer with any status; only the server returns the photo's id.
    const isJson = method === 'PUT' && /json/.test(response.headers.get('Content-Type') ?? '');
    return { response, body: isJson ? await response.json().catch(() => null) : null };
  } catch {
    return { response: null, body: null };
  } finally {
    clearTimeout(timer);
  }
}

/**
 * Mark all photos as unsent, because the server was restored. Call it inside a transaction over
 * `photo_bytes`.
 * @param {import('../store/database.js').Transaction} tx
 */
export async function markPhotosUnconfirmed(tx) {
  // One at a time, because all images may not fit in memory.
  for (const id of await tx.photo_bytes.where('state').equals('sent').primaryKeys()) {
    const row = await tx.photo_bytes.get(id);
    await tx.photo_bytes.put({ ...row, state: 'unsent', was_sent: true, tries: 0, not_before_ms: 0 });
  }
}

const QUOTA_CODES = ['too_many_photos', 'too_many_photo_bytes'];

/** Upload photos again, once after each start of the app, for which the server had no room. */
export async function retryOverQuota() {
  await transaction('rw', ['photo_bytes'], async (tx) => {
    for (const id of await tx.photo_bytes.where('state').equals('refused').primaryKeys()) {
      const row = await tx.photo_bytes.get(id);
      const codes = Object.values(row.errors ?? {}).flat();
      if (codes.some(({ code }) => QUOTA_CODES.includes(code))) await tx.photo_bytes.put({ ...row, state: 'unsent' });
    }
  });
}

/** @param {PhotoBytes} row */
function putRow(row) {
  return transaction('rw', ['photo_bytes'], (tx) => tx.photo_bytes.put(row));
}

/**
 * Photos go up one by one after the records, so that they never delay a note; what failed is tried again by itself.
 *
 * @typedef {import('./photos.js').PhotoBytes} PhotoBytes
 */
import { ownerHeader } from '../store/owner.js';
import { timing } from '../config.js';
import { db, withReconnect, transaction } from '../store/database.js';

/** @type {Promise<number | null> | null} */
let sending = null;
let again = false;

/**
 * Sends what is due, one photo after another. Never throws.
 * @returns {Promise<number | null>} ms after which another try makes sense, null where no photo waits
 */
export function uploadPhotos() {
  // One that was taken meanwhile is not on the list of those being sent.
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

/** @returns {Promise<number>} when the next one is due, Infinity where none waits */
async function sendDue() {
  let next_ms = Infinity;
  for (const id of await withReconnect(() => db.photo_bytes.where('state').equals('unsent').primaryKeys())) {
    /** @type {PhotoBytes | undefined} */
    const row = await db.photo_bytes.get(id);
    // The server takes the picture of a record that it knows; the sync that brings it comes by here again.
    if (!row || (await db.outbox.get(id))) continue;
    const left = row.not_before_ms > Date.now() ? { ...row, stop: false } : await sendOne(row);
    if (left) next_ms = Math.min(next_ms, left.not_before_ms);
    if (left?.stop) break;
  }
  return next_ms;
}

/** Answers that the next photo would get as well. */
const NOT_NOW = [401, 403, 409, 421, 429, 503, 507];

/**
 * @param {PhotoBytes} row
 * @returns {Promise<{ not_before_ms: number, stop: boolean } | null>} null where it need not be sent again
 */
async function sendOne(row) {
  if (row.was_sent && (await isThere(row.id))) return settle(row, { state: 'sent' });
  const { response, told } = await ask(
    'PUT',
    row.id,
    { body: row.bytes, headers: { 'Content-Type': row.media_type } },
    // As for a batch of notes: an uplink of a kilobyte a second is slow, not broken.
    2 * timing.request_timeout_ms + row.bytes.byteLength * timing.byte_ms,
  );
  if (response?.ok && told?.id === row.id) return settle(row, { state: 'sent', errors: null });
  if (response && told && [400, 413, 415, 422].includes(response.status)) {
    return settle(row, {
      state: 'refused',
      errors: told.errors ?? { record: [{ code: String(told.code ?? 'refused') }] },
    });
  }
  const wait_ms = Math.min(timing.backoff_max_ms, timing.backoff_first_ms * 2 ** row.tries) * (0.5 + Math.random() / 2);
  const not_before_ms = Date.now() + wait_ms;
  await put({ ...row, tries: row.tries + 1, not_before_ms });
  return { not_before_ms, stop: !response || response.ok || NOT_NOW.includes(response.status) };
}

/** @param {PhotoBytes} row @param {Partial<PhotoBytes>} end @returns {Promise<null>} */
async function settle(row, end) {
  await put({ ...row, tries: 0, not_before_ms: 0, was_sent: false, ...end });
  return null;
}

/** @param {string} id @returns {Promise<boolean>} whether a server that was set back still has it */
async function isThere(id) {
  const { response } = await ask('HEAD', id, {}, timing.request_timeout_ms);
  return Boolean(response?.ok && response.headers.get('Content-Type')?.startsWith('image/'));
}

/**
 * @param {'PUT' | 'HEAD'} method
 * @param {string} id
 * @param {RequestInit} more
 * @param {number} patience_ms for the answer and its body
 * @returns {Promise<{ response: Response | null, told: any }>} told: the JSON of the answer, or null
 */
async function ask(method, id, more, patience_ms) {
  const patience = new AbortController();
  const timer = setTimeout(() => {
    patience.abort();
  }, patience_ms);
  try {
    const headers = { ...more.headers, ...(await ownerHeader()) };
    const fixed = {
      method,
      headers,
      redirect: /** @type {const} */ ('error'),
      cache: /** @type {const} */ ('no-store'),
    };
    const response = await fetch(`/api/photos/${id}`, { ...more, ...fixed, signal: patience.signal });
    // A captive portal answers pages of its own with any status: only the server names the photo.
    const isJson = method === 'PUT' && /json/.test(response.headers.get('Content-Type') ?? '');
    return { response, told: isJson ? await response.json().catch(() => null) : null };
  } catch {
    return { response: null, told: null };
  } finally {
    clearTimeout(timer);
  }
}

/**
 * The server was set back: what it once confirmed is to be offered again. Inside a transaction over `photo_bytes`.
 * @param {import('../store/database.js').Transaction} tx
 */
export async function markPhotosUnconfirmed(tx) {
  // One after the other: all the pictures at once may be more than the phone can hold.
  for (const id of await tx.photo_bytes.where('state').equals('sent').primaryKeys()) {
    const row = await tx.photo_bytes.get(id);
    await tx.photo_bytes.put({ ...row, state: 'unsent', was_sent: true, tries: 0, not_before_ms: 0 });
  }
}

/** @param {PhotoBytes} row */
function put(row) {
  return transaction('rw', ['photo_bytes'], (tx) => tx.photo_bytes.put(row));
}

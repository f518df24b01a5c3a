// The program and the model of the label reader, kept in Cache Storage for use without a network.
import { LabelPhotoError, throwIfStopped } from './errors.js';

/** Named after the versions of both packages; an older one is deleted when this one is stored. */
const CACHE_PREFIX = 'secondnose-label-reader-';
export const CACHE = `${CACHE_PREFIX}0.11.0-fra-1.0.0`;

/** As they are fetched; both are gzip. */
export const FILES = {
  program: { url: '/vendor/tesseract/core.wasm.gz', bytes: 736_686 },
  model: { url: '/vendor/tesseract/fra.traineddata.gz', bytes: 707_406 },
};

const TOTAL_BYTES = Object.values(FILES).reduce((sum, { bytes }) => sum + bytes, 0);

/** @typedef {(share: number) => void} OnProgress called with 0 to 1 */

/**
 * Tell whether the model is stored, and how many bytes are fetched to store it.
 * @returns {Promise<{ stored: boolean, bytes: number }>}
 */
export async function modelState() {
  return { stored: await isStored(), bytes: TOTAL_BYTES };
}

/** @returns {Promise<boolean>} */
async function isStored() {
  if (!('caches' in globalThis) || !(await caches.has(CACHE))) return false;
  const cache = await caches.open(CACHE);
  const found = await Promise.all(Object.values(FILES).map(({ url }) => cache.match(url)));
  return found.every(Boolean);
}

/** @returns {Promise<{ program: Blob, model: Blob } | null>} both as fetched; null if one is missing */
export async function storedFiles() {
  if (!(await isStored())) return null;
  const cache = await caches.open(CACHE);
  const [program, model] = await Promise.all(
    [FILES.program, FILES.model].map(async ({ url }) => (await cache.match(url))?.blob()),
  );
  return program && model ? { program, model } : null;
}

/**
 * Fetch the program and the model and keep them.
 * @param {{ signal?: AbortSignal, onProgress?: OnProgress }} [how]
 * @returns {Promise<void>}
 * @throws {LabelPhotoError} no_room, offline, stopped or failed
 */
export async function storeModel({ signal, onProgress } = {}) {
  throwIfStopped(signal);
  if (await isStored()) return;
  if (!('caches' in globalThis)) throw new LabelPhotoError('failed', 'no Cache Storage');
  await requireRoom();
  try {
    /** @type {[string, Blob][]} */
    const fetched = [];
    let done = 0;
    for (const { url, bytes } of Object.values(FILES)) {
      const before = done;
      fetched.push([url, await fetchFile(url, bytes, signal, (now) => onProgress?.((before + now) / TOTAL_BYTES))]);
      done += bytes;
    }
    const cache = await caches.open(CACHE);
    // Written after all were fetched, so that a stop in the middle leaves nothing.
    for (const [url, blob] of fetched) await cache.put(url, new Response(blob));
    await removeCaches((name) => name !== CACHE);
  } catch (error) {
    if (!(await isStored())) await removeCaches(() => true);
    throw storeError(error, signal);
  }
}

/** Delete the program and the model. */
export async function removeModel() {
  if ('caches' in globalThis) await removeCaches(() => true);
}

/** @param {(name: string) => boolean} which */
async function removeCaches(which) {
  const names = (await caches.keys()).filter((name) => name.startsWith(CACHE_PREFIX) && which(name));
  await Promise.all(names.map((name) => caches.delete(name)));
}

/** Refuse before the fetch if the browser says that the storage is nearly full. */
async function requireRoom() {
  const { quota, usage } = (await navigator.storage?.estimate?.().catch(() => null)) ?? {};
  if (quota !== undefined && usage !== undefined && quota - usage < TOTAL_BYTES) throw new LabelPhotoError('no_room');
}

/**
 * @param {string} url
 * @param {number} bytes that the file must have
 * @param {AbortSignal | undefined} signal
 * @param {(bytes: number) => void} onBytes
 */
async function fetchFile(url, bytes, signal, onBytes) {
  const response = await fetch(url, { signal: signal ?? null }).catch((cause) => {
    throw new LabelPhotoError(signal?.aborted ? 'stopped' : 'offline', cause);
  });
  if (!response.ok || !response.body) throw new LabelPhotoError('failed', `status ${response.status}`);
  /** @type {Uint8Array<ArrayBuffer>[]} */
  const parts = [];
  let done = 0;
  const reader = response.body.getReader();
  for (;;) {
    const part = await reader.read().catch((cause) => {
      throw new LabelPhotoError(signal?.aborted ? 'stopped' : 'offline', cause);
    });
    if (part.done) break;
    parts.push(part.value);
    done += part.value.length;
    onBytes(Math.min(done, bytes));
  }
  if (done !== bytes) throw new LabelPhotoError('failed', `${url}: ${done} bytes instead of ${bytes}`);
  return new Blob(parts);
}

/** @param {unknown} error @param {AbortSignal | undefined} signal */
function storeError(error, signal) {
  if (error instanceof LabelPhotoError) return error;
  if (signal?.aborted) return new LabelPhotoError('stopped', error);
  const isFull = error instanceof DOMException && error.name === 'QuotaExceededError';
  return new LabelPhotoError(isFull ? 'no_room' : 'failed', error);
}

/** Cache of the learned palate: the server's last document, kept for offline use. */
import { signal } from '../vendor/signals-core.js';
import { ownerHeader } from './owner.js';
import { db, withReconnect } from './database.js';

const NAME = 'palate';

/** @type {import('../vendor/signals-core.js').Signal<any>} the last document of /api/palate, or null */
export const palate = signal(null);

/** @type {Promise<void>} */
let asked = Promise.resolve();

/** Show the cached document at once and fetch a newer one; one request at a time. */
export function refreshPalate() {
  asked = asked.then(refresh, refresh);
  return asked;
}

async function refresh() {
  const kept = await withReconnect(() => db.cache.get(NAME)).catch(() => undefined);
  if (kept && palate.value === null) palate.value = kept.document;
  const fetched = await fetchPalate(kept?.etag ?? null).catch(() => null);
  if (!fetched) return;
  palate.value = fetched.document;
  // If the storage is full, this copy is not worth an error.
  await withReconnect(() => db.cache.put({ name: NAME, ...fetched })).catch(() => undefined);
}

/**
 * @param {string | null} etag of the cached document
 * @returns {Promise<{ document: any, etag: string | null } | null>} null if the cached one is
 *   current
 */
async function fetchPalate(etag) {
  const response = await fetch('/api/palate', {
    headers: { ...(await ownerHeader()), ...(etag ? { 'If-None-Match': etag } : {}) },
    cache: 'no-store',
    signal: AbortSignal.timeout(30_000),
  });
  if (!response.ok || !/json/.test(response.headers.get('Content-Type') ?? '')) return null;
  return { document: await response.json(), etag: response.headers.get('ETag') };
}

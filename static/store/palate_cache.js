/**
 * What the server has learned of the owner's palate: the last document, kept for offline use.
 */
import { signal } from '../vendor/signals-core.js';
import { ownerHeader } from './owner.js';
import { db, withReconnect } from './database.js';

const NAME = 'palate';

/** @type {import('../vendor/signals-core.js').Signal<any>} the last document of /api/palate; null until there is one */
export const palate = signal(null);

/** @type {Promise<void>} */
let asked = Promise.resolve();

/** Shows the kept document at once and asks the server for a newer one; one question after another. */
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
  // A full phone keeps its notes rather than this copy.
  await withReconnect(() => db.cache.put({ name: NAME, ...fetched })).catch(() => undefined);
}

/**
 * @param {string | null} etag of the kept document
 * @returns {Promise<{ document: any, etag: string | null } | null>} null where the kept one still stands
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

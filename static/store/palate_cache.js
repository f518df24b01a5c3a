/** Cache of the learned palate: the server's last document, kept for offline use. */
import { signal } from '../vendor/signals-core.js';
import { ownerHeader } from './owner.js';
import { db, withReconnect } from './database.js';
import { timing } from '../config.js';

const NAME = 'palate';

/** @type {import('../vendor/signals-core.js').Signal<any>} the last document of /api/palate, or null */
export const palate = signal(null);

/** @type {Promise<void> | null} */
let asking = null;
let again = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
let changed_ms = 0;

/**
 * Shows the kept document at once and asks the server for a newer one. However many ask while a question is
 * under way, one more follows it.
 * @returns {Promise<void>}
 */
export function refreshPalate() {
  clearTimeout(timer);
  timer = undefined;
  again = asking !== null;
  asking ??= refreshAll();
  return asking;
}

/** Asks once changes have stopped for a moment, since each question after a change costs the server a fit. */
export function refreshPalateSoon() {
  if (timer === undefined) changed_ms = Date.now();
  clearTimeout(timer);
  const left_ms = changed_ms + timing.palate_latest_ms - Date.now();
  timer = setTimeout(refreshPalate, Math.max(0, Math.min(timing.palate_quiet_ms, left_ms)));
}

async function refreshAll() {
  do {
    again = false;
    await refresh().catch(() => undefined);
  } while (again);
  asking = null;
}

async function refresh() {
  const cached = await withReconnect(() => db.cache.get(NAME)).catch(() => undefined);
  if (cached && palate.value === null) palate.value = cached.document;
  const fetched = await fetchPalate(cached?.etag ?? null).catch(() => null);
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

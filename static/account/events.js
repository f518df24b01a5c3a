/**
 * What happened to the account and has not been read on this device: a new device, passphrase or passkey.
 * Asked for after a sync.
 *
 * @typedef {object} AccountEvent
 * @property {number} id
 * @property {'device' | 'passphrase' | 'passkey'} kind
 * @property {string} name of the device
 * @property {string} at
 * @property {string | null} device
 * @property {boolean} standing whether the device is signed in yet
 */
import { effect } from '../vendor/signals-core.js';
import { accountEvents } from './events_state.js';
import { ownerHeader } from '../store/owner.js';
import { timing } from '../config.js';
import { syncStatus } from '../sync/status.js';

const POLL_INTERVAL_MS = 5 * 60_000;
let fetchedAt = -Infinity;

/** Fetch events after a sync that reached the server. */
export function watchAccountEvents() {
  effect(() => {
    const { phase, lastSynced } = syncStatus.value;
    if (phase === 'idle' && lastSynced && performance.now() - fetchedAt > POLL_INTERVAL_MS) fetchEvents();
  });
}

async function fetchEvents() {
  fetchedAt = performance.now();
  const response = await fetchJson('/api/news');
  if (Array.isArray(response?.news)) accountEvents.value = response.news;
}

/** Mark the events as read. */
export async function acknowledgeEvents() {
  const event = Math.max(0, ...accountEvents.value.map(({ id }) => id));
  accountEvents.value = [];
  const headers = { 'Content-Type': 'application/json' };
  const done = await fetchJson('/api/news/seen', { method: 'POST', headers, body: JSON.stringify({ event }) });
  if (!done) fetchedAt = -Infinity;
}

/**
 * Fetch without `api.js`, which would load the whole account client at every start.
 * @param {string} path
 * @param {RequestInit} [more]
 * @returns {Promise<any>} null without a JSON response
 */
async function fetchJson(path, more = {}) {
  const headers = { Accept: 'application/json', ...more.headers, ...(await ownerHeader()) };
  const timeout = AbortSignal.timeout(timing.request_timeout_ms);
  const response = await fetch(path, {
    cache: 'no-store',
    redirect: 'error',
    signal: timeout,
    ...more,
    headers,
  }).catch(() => null);
  return response?.ok ? response.json().catch(() => null) : null;
}

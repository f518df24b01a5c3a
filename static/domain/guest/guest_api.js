// Guests' routes of the server. They need no account: an invitation opens the first two, a token the others.
import { retryAfter } from '../../lib/retry_after.js';

/**
 * `code`: the server's problem code, or no_network. `wait_s`: the server's Retry-After, or 0. `reason`: why a token has
 * ended (removed, left, forgotten, ended, deleted or unknown).
 */
export class GuestError extends Error {
  /** @param {string} code @param {{ status?: number, wait_s?: number, reason?: string }} [more] */
  constructor(code, { status = 0, wait_s = 0, reason = '' } = {}) {
    super(code);
    this.name = 'GuestError';
    this.code = code;
    this.status = status;
    this.wait_s = wait_s;
    this.reason = reason;
  }
}

const TIMEOUT_MS = 12_000;
const MAX_WAIT_S = 600;

/**
 * @typedef {{ secret: string } | { code: string }} Invitation
 * @typedef {{ group_tasting: string, name: string | null, leader_name: string | null, glasses: number, labels_hidden:
 *   boolean, names_shown: boolean, keeps_days: number | null, now_ms: number }} Look
 */

/** @param {Record<string, string>} invitation @returns {Promise<Look>} @throws {GuestError} */
export async function lookAt(invitation) {
  return (await request('POST', '/api/guests/look', { body: invitation })).document;
}

/**
 * @param {Record<string, string>} invitation
 * @param {{ name: string, guest: string, key: string }} who
 * @returns {Promise<{ token: string, group_tasting: string, guest: { id: string, name: string, number: number } }>}
 * @throws {GuestError}
 */
export async function join(invitation, who) {
  return (await request('POST', '/api/guests/join', { body: { ...invitation, ...who } })).document;
}

/**
 * @param {string} token
 * @param {string | null} etag
 * @returns {Promise<{ view: Record<string, any> | null, etag: string | null }>} view is null if nothing has changed
 * @throws {GuestError}
 */
export async function getTable(token, etag) {
  const { document, response } = await request('GET', '/api/guests/table', { token, etag });
  return response.status === 304 ? { view: null, etag } : { view: document, etag: response.headers.get('ETag') };
}

/**
 * @param {string} token
 * @param {string} glass
 * @param {import('./answers.js').Sending} sending
 * @returns {Promise<import('./answers.js').Receipt & { now_ms: number }>}
 * @throws {GuestError}
 */
export async function putSheet(token, glass, sending) {
  // `keepalive` lets the browser finish the request of a page that is being closed.
  return (await request('PUT', `/api/guests/sheets/${glass}`, { token, body: sending, keepalive: true })).document;
}

/**
 * @param {string} token
 * @param {import('./guest_store.js').Consent} consent
 * @returns {Promise<{ now_ms: number }>}
 * @throws {GuestError}
 */
export async function putConsent(token, { agreed, ms }) {
  return (await request('PUT', '/api/guests/consent', { token, body: { agreed, noted_ms: ms } })).document;
}

/** @param {string} token @param {{ forget: boolean }} how @throws {GuestError} */
export async function leave(token, how) {
  // A reload at this moment does not take the request back.
  await request('POST', '/api/guests/leave', { token, body: how, keepalive: true });
}

/**
 * @param {string} method
 * @param {string} path
 * @param {{ body?: unknown, token?: string, etag?: string | null, keepalive?: boolean }} what
 */
async function request(method, path, { body, token, etag, keepalive = false }) {
  const timeout = new AbortController();
  const timer = setTimeout(() => timeout.abort(), TIMEOUT_MS);
  try {
    const response = await fetch(path, {
      method,
      keepalive,
      cache: 'no-store',
      redirect: 'error',
      signal: timeout.signal,
      headers: {
        Accept: 'application/json',
        ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
        ...(token ? { Authorization: `Bearer ${token}` } : {}),
        ...(etag ? { 'If-None-Match': etag } : {}),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    if (response.status === 304) return { response, document: null };
    // A captive portal may answer with any status; only JSON is from the server.
    const isJson = /json/.test(response.headers.get('Content-Type') ?? '');
    const document = isJson ? await response.json() : null;
    if (response.ok && (isJson || response.status === 204)) return { response, document };
    throw problemOf(response, document);
  } catch (error) {
    throw error instanceof GuestError ? error : new GuestError('no_network');
  } finally {
    clearTimeout(timer);
  }
}

/** @param {Response} response @param {any} document */
function problemOf(response, document) {
  const wait_s = retryAfter(response, MAX_WAIT_S);
  const { status } = response;
  if (!document || status >= 500) return new GuestError('no_network', { wait_s });
  return new GuestError(String(document.code ?? 'failed'), {
    status,
    wait_s,
    reason: String(document.errors?.reason ?? ''),
  });
}

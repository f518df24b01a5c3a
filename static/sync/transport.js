/**
 * Stage 2: sends a request and classifies the response.
 *
 * @typedef {{ id: string | null, outcome: 'applied' | 'duplicate' | 'refused' | 'restamp', errors?:
 *   import('../store/validate.js').FieldErrors }} Outcome
 * @typedef {Object} Answer
 * @property {number} format
 * @property {string} epoch
 * @property {string} token
 * @property {number} cursor
 * @property {boolean} more
 * @property {number} now the server's time, ms
 * @property {boolean} rewound
 * @property {boolean} fork
 * @property {number} [remaining] number of records after this page, if the server tells it
 * @property {Outcome[]} outcomes
 * @property {(import('../store/record.js').BookRecord & { seq: number })[]} changes
 *
 * @typedef {{ kind: 'answer', answer: Answer } | { kind: 'no_network' | 'late' } | { kind: 'signin'
 *   | 'update' } | { kind: 'wait', wait_ms: number } | { kind: 'too_big' | 'failed' }} Reply late:
 *   timeout; too_big: send less; failed: the server failed on this request or cannot parse it
 */
// Outcomes are in the order of the changes; `id` is null if the change had no readable one.
import { retryAfterMs } from '../lib/retry_after.js';
import { setAuthIssue, ownerHeader } from '../store/owner.js';
import { FORMAT } from './build_request.js';
import { gzip } from './gzip.js';
import { timing } from '../config.js';

/**
 * @param {string} body
 * @param {Promise<ArrayBuffer> | null} [packed] the body as gzip, if it is compressed already
 * @returns {Promise<Reply>}
 */
export async function send(body, packed = null) {
  const timeout = new AbortController();
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  try {
    const request = await encodeBody(body, packed, await ownerHeader());
    timer = setTimeout(() => timeout.abort(), timing.request_timeout_ms + sizeOf(request.body) * timing.byte_ms);
    const response = await fetch('/api/sync', {
      method: 'POST',
      redirect: 'error',
      cache: 'no-store',
      signal: timeout.signal,
      ...request,
    });
    return await interpret(response);
  } catch {
    return { kind: timeout.signal.aborted ? 'late' : 'no_network' };
  } finally {
    clearTimeout(timer);
  }
}

/**
 * @param {string | ArrayBuffer} body
 * @returns {number} bytes, or characters of a text, which are at most as many
 */
function sizeOf(body) {
  return typeof body === 'string' ? body.length : body.byteLength;
}

/**
 * @param {string} text
 * @param {Promise<ArrayBuffer> | null} packed
 * @param {Record<string, string>} whose
 * @returns {Promise<{ headers: Record<string, string>, body: string | ArrayBuffer }>}
 */
async function encodeBody(text, packed, whose) {
  const headers = { ...whose, 'Content-Type': 'application/json', Accept: 'application/json' };
  if (text.length < 1_000 || !('CompressionStream' in globalThis)) return { headers, body: text };
  return { headers: { ...headers, 'Content-Encoding': 'gzip' }, body: await (packed ?? gzip(text)) };
}

/** @param {Response} response @returns {Promise<Reply>} */
async function interpret(response) {
  const { status } = response;
  if (status === 413) return { kind: 'too_big' };
  if (status === 429 || status === 503) return { kind: 'wait', wait_ms: retryAfterMs(response, timing.backoff_max_ms) };
  if (status === 408 || status === 502 || status === 504) return { kind: 'no_network' };
  if (status >= 500) return { kind: 'failed' };
  // A captive portal may answer with any status; only JSON of the right shape is from the server.
  if (!/json/.test(response.headers.get('Content-Type') ?? '')) return { kind: 'no_network' };
  const document = await response.json();
  const isAuthIssue = status === 401 || status === 403 || document?.code === 'other_owner';
  setAuthIssue(isAuthIssue ? document : null);
  if (isAuthIssue) return { kind: 'signin' };
  if (status === 426 || document?.code === 'format' || otherFormat(response, document)) return { kind: 'update' };
  if (status === 400 || status === 422) return { kind: 'failed' };
  return isAnswer(document) ? { kind: 'answer', answer: document } : { kind: 'no_network' };
}

/** @param {Response} response @param {any} document */
function otherFormat(response, document) {
  return response.ok && Number.isInteger(document?.format) && document.format !== FORMAT;
}

/** @param {any} document */
function isAnswer(document) {
  return (
    document?.format === FORMAT &&
    typeof document.epoch === 'string' &&
    typeof document.token === 'string' &&
    Number.isSafeInteger(document.cursor) &&
    Number.isFinite(document.now) &&
    typeof document.more === 'boolean' &&
    typeof document.rewound === 'boolean' &&
    typeof document.fork === 'boolean' &&
    Array.isArray(document.outcomes) &&
    Array.isArray(document.changes) &&
    document.changes.every(isRecord)
  );
}

/** @param {any} record */
function isRecord(record) {
  return (
    typeof record?.kind === 'string' &&
    typeof record.id === 'string' &&
    typeof record.fields === 'object' &&
    record.fields !== null &&
    typeof record.clocks === 'object' &&
    record.clocks !== null
  );
}

/**
 * Stage 1: builds a request.
 *
 * @typedef {import('../store/record.js').BookRecord} BookRecord
 * @typedef {Object} SyncRequest
 * @property {string} device
 * @property {string | null} epoch
 * @property {string | null} token
 * @property {number} cursor
 * @property {BookRecord[]} sent
 * @property {number} waiting number of records to send, including those in `sent`
 * @property {boolean} complete whether `sent` has everything that the outbox has of these records
 * @property {string | null} last clock of the last save before the request
 * @property {string} body the JSON text
 * @property {Promise<ArrayBuffer> | null} [packed] the text as gzip, if that was begun early
 */
import { readClockState } from '../store/clock_state.js';
import { toChanges } from '../store/outbox.js';
import { transaction } from '../store/database.js';
import { readServerState } from './server_state.js';
import { timing } from '../config.js';

export const FORMAT = 1;

/**
 * @param {number} pushLimit maximum number of changes
 * @param {number} pullLimit maximum number of records in the response
 * @returns {Promise<SyncRequest>}
 */
export async function buildRequest(pushLimit, pullLimit) {
  const { device, last, epoch, token, cursor, sendable, waiting } = await transaction(
    'rw',
    ['meta', 'outbox'],
    async (tx) => {
      const clock = await readClockState(tx);
      const server = await readServerState(tx);
      // During a rewind nothing is sent: the outbox has all records, and the server will confirm
      // most of them.
      const rows = server.rewinding ? [] : await dueEntries(tx, pushLimit);
      return {
        ...server,
        device: clock.device,
        last: clock.last,
        sendable: rows,
        waiting: server.rewinding ? 0 : await countPending(tx),
      };
    },
    { strict: false },
  );
  return composeRequest({ device, last, epoch, token, cursor, waiting }, sendable, pushLimit, pullLimit);
}

/**
 * Compose the text after the transaction, so that reading and serializing are two short tasks.
 * @param {State} state
 * @param {import('../store/database.js').OutboxEntry[]} entries
 * @param {number} pushLimit
 * @param {number} pullLimit
 * @returns {SyncRequest}
 */
function composeRequest(state, entries, pushLimit, pullLimit) {
  const { text, ...changes } = composeChanges(entries, pushLimit);
  return { ...state, ...changes, body: `{${text},${composeRest(state, pullLimit)}` };
}

/**
 * @typedef {Pick<SyncRequest, 'device' | 'last' | 'epoch' | 'token' | 'cursor' | 'waiting'>} State
 * @param {import('../store/database.js').OutboxEntry[]} entries
 * @param {number} limit
 * @returns {Pick<SyncRequest, 'sent' | 'complete'> & { text: string }}
 */
export function composeChanges(entries, limit) {
  const changes = entries.flatMap(toChanges);
  const { sent, texts } = limitBytes(changes.slice(0, limit));
  return { sent, complete: changes[sent.length]?.id !== sent.at(-1)?.id, text: `"changes":[${texts.join(',')}]` };
}

/**
 * @param {State} state
 * @param {number} pullLimit
 * @returns {string} the rest of the text, after the changes
 */
export function composeRest({ device, epoch, token, cursor }, pullLimit) {
  const limit = pageSize(cursor, pullLimit);
  return JSON.stringify({ format: FORMAT, device, epoch, token, cursor, limit }).slice(1);
}

/**
 * @param {number} cursor
 * @param {number} limit
 * @returns {number} smaller for the first page, because a new phone waits for it
 */
function pageSize(cursor, limit) {
  return cursor === 0 ? Math.min(timing.first_pull, limit) : limit;
}

/** @returns {Promise<boolean>} whether anything is due to be sent */
export function hasDue() {
  return transaction('r', ['meta', 'outbox'], async (tx) => {
    const { rewinding } = await readServerState(tx);
    return !rewinding && (await dueEntries(tx, 1)).length > 0;
  });
}

/** @returns {Promise<number | null>} ms until the next retry after a server error; null if there is none */
export function msUntilRetry() {
  return transaction('r', ['outbox'], async (tx) => {
    const rows = await tx.outbox.where('held').equals(2).toArray();
    return rows.length === 0 ? null : Math.max(0, Math.min(...rows.map((row) => row.not_before_ms)) - Date.now());
  });
}

/**
 * @param {import('../store/database.js').Transaction} tx
 * @returns {Promise<number>} number of records to send, now or later
 */
export async function countPending(tx) {
  // Two counts, because a query for "not rejected" would visit every row.
  const [all, rejected] = await Promise.all([tx.outbox.count(), tx.outbox.where('held').equals(1).count()]);
  return all - rejected;
}

/**
 * @param {import('../store/database.js').Transaction} tx
 * @param {number} limit
 * @returns {Promise<import('../store/database.js').OutboxEntry[]>}
 */
export async function dueEntries(tx, limit) {
  const now = Date.now();
  const postponed = await tx.outbox.where('held').equals(2).toArray();
  const again = postponed.filter((row) => row.not_before_ms <= now).slice(0, limit);
  // Without a filter, so that the browser fetches all rows at once.
  const next = await tx.outbox
    .where('held')
    .equals(0)
    .limit(limit - again.length)
    .toArray();
  return [...again, ...next];
}

/**
 * @param {BookRecord[]} changes
 * @returns {{ sent: BookRecord[], texts: string[] }} at least one change, if there is one
 */
function limitBytes(changes) {
  const texts = [];
  let bytes = 0;
  for (const change of changes) {
    const text = JSON.stringify(change);
    bytes += text.length;
    if (texts.length > 0 && bytes > timing.max_bytes) break;
    texts.push(text);
  }
  return { sent: changes.slice(0, texts.length), texts };
}

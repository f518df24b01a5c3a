/**
 * Builds the request that follows an answer which is not applied yet, so that the network works
 * while the phone does.
 *
 * @typedef {import('./build_request.js').SyncRequest} SyncRequest
 * @typedef {import('./transport.js').Answer} Answer
 * @typedef {import('../store/database.js').Transaction} Transaction
 * @typedef {{ last: string | null, sent: SyncRequest['sent'], complete: boolean, text: string,
 *   end: (rest: string) => Promise<ArrayBuffer> | null }} Prepared the changes of a request; last: clock of
 *   the last save before they were read
 */
import { readClockState } from '../store/clock_state.js';
import { transaction } from '../store/database.js';
import { composeChanges, composeRest, countPending, dueEntries } from './build_request.js';
import { startGzip } from './gzip.js';
import { confirmed } from './outcomes.js';
import { readServerState } from './server_state.js';

/**
 * Read and compress the changes after those of a request, while it is under way.
 * @param {SyncRequest} request
 * @param {number} limit
 * @returns {Promise<Prepared>}
 */
export async function prepareChanges({ sent: before }, limit) {
  const { last, entries } = await transaction('r', ['meta', 'outbox'], async (tx) => {
    const { rewinding } = await readServerState(tx);
    const clock = await tx.meta.get('clock');
    return { last: clock.last, entries: rewinding ? [] : await entriesAfter(tx, before, limit) };
  });
  const changes = composeChanges(entries, limit);
  const packs = changes.sent.length > 0 && 'CompressionStream' in globalThis;
  return { ...changes, last, end: packs ? startGzip(`{${changes.text},`) : () => null };
}

/**
 * @param {Answer} answer
 * @param {SyncRequest} request what it answers
 * @param {Prepared | null} prepared of use only if nobody saved since
 * @param {number} pushLimit
 * @param {number} pullLimit
 * @returns {Promise<SyncRequest | null>} null if the answer must be applied first, or nothing is left
 */
export async function buildNextRequest(answer, request, prepared, pushLimit, pullLimit) {
  if (!isPlain(answer, request)) return null;
  const early = prepared && (await complete(answer, request, prepared, pullLimit));
  return early ?? complete(answer, request, await prepareChanges(request, pushLimit), pullLimit);
}

/**
 * Complete the next request. The token is stored before it is used: a phone that came back with the one before would
 * look like a copy. The cursor is stored with the page, so an answer that is never applied is asked for again.
 * @param {Answer} answer
 * @param {SyncRequest} request
 * @param {Prepared} prepared
 * @param {number} pullLimit
 * @returns {Promise<SyncRequest | null>}
 */
async function complete(answer, request, { last, sent, complete: isComplete, text, end }, pullLimit) {
  if (!answer.more && sent.length === 0) return null;
  const { epoch, token, cursor } = answer;
  const state = await transaction(
    'rw',
    ['meta', 'outbox'],
    async (tx) => {
      const clock = await readClockState(tx);
      const server = await readServerState(tx);
      // Another tab may have synced meanwhile.
      const current = clock.device === request.device && isSame(server, request) && clock.last === last;
      if (!current) return null;
      await tx.meta.put({ ...server, epoch, token });
      const waiting = server.rewinding ? 0 : Math.max(0, (await countPending(tx)) - request.sent.length);
      return { device: clock.device, last, epoch, token, cursor, waiting };
    },
    { strict: false },
  );
  if (!state) return null;
  const rest = composeRest(state, pullLimit);
  return { ...state, sent, complete: isComplete, body: `{${text},${rest}`, packed: end(rest) };
}

/**
 * Tell whether applying the answer only removes what was sent and adds the page: the next request
 * does not depend on it then.
 * @param {Answer} answer
 * @param {SyncRequest} request
 */
function isPlain(answer, request) {
  if (answer.rewound || answer.fork) return false;
  if (confirmed(answer.outcomes, request.sent).length < request.sent.length) return false;
  return request.sent.length > 0 || answer.changes.length > 0;
}

/** @param {import('./server_state.js').ServerState} server @param {SyncRequest} request */
function isSame(server, { epoch, token, cursor }) {
  return server.epoch === epoch && server.token === token && server.cursor === cursor;
}

/**
 * @param {Transaction} tx
 * @param {SyncRequest['sent']} sent
 * @param {number} limit
 * @returns {Promise<import('../store/database.js').OutboxEntry[]>} due entries after those that were sent
 */
async function entriesAfter(tx, sent, limit) {
  const last = sent.at(-1);
  if (!last) return dueEntries(tx, limit);
  // By id and not by state, so that the browser fetches all rows at once.
  const rows = await tx.outbox.where(':id').above(last.id).limit(limit).toArray();
  return rows.filter((row) => row.held === 0);
}

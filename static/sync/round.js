/**
 * One sync round: requests until both sides are equal or something prevents it.
 *
 * @typedef {{ end: 'done' | 'waiting' | 'signin' | 'apart' | 'update', wait_ms: number, moved: Set<string> }}
 *   RoundEnd
 * @typedef {{ done: number, total: number }} Progress number of records sent and received
 */
import { ensureOwner } from '../store/owner.js';
import { buildRequest, hasDue } from './build_request.js';
import { buildNextRequest, prepareChanges } from './next_request.js';
import { quarantine, retryLater, TOO_BIG_TO_SEND } from './quarantine.js';
import { send } from './transport.js';
import { applyResponse } from './apply_response.js';
import { leastCorrection } from './least_correction.js';
import { timing } from '../config.js';

/** Maximum number of responses without progress, or rewinds, in one round. */
const MAX_STALLS = 3;

/**
 * Number of records in the next request and response. It is kept between rounds, so that a slow
 * connection is not probed again each time.
 */
const batchSize = { up: timing.max_push, down: timing.max_pull };

/** @typedef {{ moved: Set<string>, done: number, remaining: number, stalls: number, broken: number }} Run */

/**
 * @param {(progress: Progress) => void} onProgress
 * @returns {Promise<RoundEnd>}
 */
export async function round(onProgress) {
  /** @type {Run} */
  const run = { moved: new Set(), done: 0, remaining: 0, stalls: 0, broken: 0 };
  // Bind the notebook to its owner before anything is sent.
  const identity = await ensureOwner();
  if (identity === 'signin' || identity === 'apart' || identity === 'no_network')
    return { moved: run.moved, wait_ms: 0, end: identity === 'no_network' ? 'waiting' : identity };
  let asked = startRequest(await buildRequest(...limits()));
  for (;;) {
    onProgress({ done: run.done, total: run.done + asked.request.waiting + run.remaining });
    const { reply, elapsed_ms, received_ms } = await asked.reply;
    if (reply.kind === 'answer') growBatch(elapsed_ms);
    // Under way while the answer is applied. Its token and epoch are stored already.
    const next = reply.kind === 'answer' ? await nextRequest(reply.answer, asked) : null;
    const coming = next && startRequest(next);
    const request = next ? { ...asked.request, epoch: next.epoch } : asked.request;
    const end =
      reply.kind === 'answer'
        ? await afterAnswer(run, reply.answer, request, onProgress, { elapsed_ms, received_ms })
        : await afterFailure(run, reply, request);
    if (end && !coming) return { moved: run.moved, wait_ms: 0, ...end };
    asked = coming ?? startRequest(await buildRequest(...limits()));
  }
}

/** @returns {[number, number]} most records in the next request and in its response */
function limits() {
  return [Math.min(batchSize.up, timing.max_push), Math.min(batchSize.down, timing.max_pull)];
}

/** @typedef {ReturnType<typeof startRequest>} Asked a request under way */

/** @param {import('./build_request.js').SyncRequest} request */
function startRequest(request) {
  const asked_ms = performance.now();
  const reply = send(request.body, request.packed).then((answered) => ({
    reply: answered,
    elapsed_ms: performance.now() - asked_ms,
    received_ms: Date.now(),
  }));
  const [limit] = limits();
  // Not while the size of the requests is still changing, and not for a page, which moves the clock.
  const isEarly = request.sent.length > 0 && limit === timing.max_push;
  const prepared = isEarly ? prepareChanges(request, limit).catch(() => null) : null;
  return { request, reply, prepared };
}

/**
 * @param {import('./transport.js').Answer} answer
 * @param {Asked} asked
 */
async function nextRequest(answer, { request, prepared }) {
  // The answer is here and is applied in any case; that may even make the room which was missing.
  return buildNextRequest(answer, request, await prepared, ...limits()).catch(() => null);
}

/**
 * @param {number} elapsed_ms duration of the request; above half the timeout, a request of double size
 *   would be too slow
 */
function growBatch(elapsed_ms) {
  if (elapsed_ms > timing.request_timeout_ms / 2) return;
  batchSize.up = Math.min(batchSize.up * 2, timing.max_push);
  batchSize.down = Math.min(batchSize.down * 2, timing.max_pull);
}

/** @param {import('../store/record.js').BookRecord[]} sent was too large or too slow */
function shrinkBatch(sent) {
  if (sent.length > 0) batchSize.up = Math.max(1, Math.floor(sent.length / 2));
}

/** @typedef {{ end: RoundEnd['end'], wait_ms?: number } | null} Verdict null: continue */

/**
 * @param {Run} run
 * @param {import('./transport.js').Answer} answer
 * @param {import('./build_request.js').SyncRequest} request
 * @param {(progress: Progress) => void} onProgress
 * @param {{ elapsed_ms: number, received_ms: number }} exchange received_ms: by the phone's clock
 * @returns {Promise<Verdict>}
 */
async function afterAnswer(run, answer, request, onProgress, { elapsed_ms, received_ms }) {
  const correction_ms = leastCorrection(answer.now, received_ms - elapsed_ms, received_ms);
  const applied = await applyResponse(answer, request, correction_ms);
  for (const kind of applied.moved) run.moved.add(kind);
  run.done += applied.accepted + applied.rejected + applied.pulled;
  run.broken = 0;
  run.remaining = answer.remaining ?? 0;
  const unsent = Math.max(0, request.waiting - applied.accepted - applied.rejected);
  onProgress({ done: run.done, total: run.done + unsent + run.remaining });
  const settled = applied.accepted + applied.rejected;
  const stalled =
    answer.rewound ||
    applied.restamped ||
    (request.sent.length > 0 && settled === 0) ||
    (answer.more && answer.changes.length === 0);
  if (stalled) run.stalls += 1;
  if (run.stalls > MAX_STALLS) return { end: 'waiting' };
  return answer.more || (await hasDue()) ? null : { end: 'done' };
}

/**
 * @param {Run} run
 * @param {Exclude<import('./transport.js').Reply, { kind: 'answer' }>} reply
 * @param {import('./build_request.js').SyncRequest} request
 * @returns {Promise<Verdict>}
 */
async function afterFailure(run, reply, request) {
  switch (reply.kind) {
    case 'signin':
    case 'update':
      return { end: reply.kind };
    case 'wait':
      return { end: 'waiting', wait_ms: reply.wait_ms };
    case 'no_network':
      return { end: 'waiting' };
    case 'late':
      shrinkBatch(request.sent);
      batchSize.down = Math.max(1, Math.floor(batchSize.down / 2));
      return { end: 'waiting' };
    default:
      return quarantineAlone(run, reply, request.sent);
  }
}

/**
 * @param {Run} run
 * @param {Extract<import('./transport.js').Reply, { kind: 'too_big' | 'failed' }>} reply
 * @param {import('../store/record.js').BookRecord[]} sent
 * @returns {Promise<Verdict>}
 */
async function quarantineAlone(run, reply, sent) {
  const [alone] = sent;
  if (!alone) return { end: 'waiting' };
  if (sent.length > 1) {
    shrinkBatch(sent);
    return null;
  }
  if (reply.kind === 'failed') {
    await retryLater(alone);
    run.broken += 1;
    // Two failing records in a row: the server is at fault, not a record.
    return run.broken > 1 ? { end: 'waiting' } : null;
  }
  await quarantine(alone, { record: [{ code: TOO_BIG_TO_SEND }] });
  return null;
}

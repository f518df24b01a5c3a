/**
 * Stages 3 to 6 in one transaction: outcomes, rewind, page and cursor, values of merged bottles,
 * dropped values, kept examples, restamp, device. If the tab is closed in between, nothing is stored
 * and the request is repeated.
 */
import { maxClock } from '../store/hlc.js';
import { readClockState, newDeviceId, nextTimestamp } from '../store/clock_state.js';
import { timestamp } from '../lib/datetime.js';
import { markPhotosUnconfirmed } from '../photos/upload.js';
import { kinds } from '../store/record.js';
import { transaction } from '../store/database.js';
import { allAccepted, confirmed, removeAccepted, applyOutcomes } from './outcomes.js';
import { applyPage, latestClock } from './apply_page.js';
import { writeAgain } from './dropped_values.js';
import { changedHere, keepExamples } from './kept_examples.js';
import { passOn, valuesWithoutMerge } from './merged_bottles.js';
import { restamp } from './restamp.js';
import { markAllUnconfirmed } from './requeue.js';
import { readServerState } from './server_state.js';
import { timing } from '../config.js';

/**
 * @typedef {{ moved: Set<string>, accepted: number, rejected: number, pulled: number, restamped: boolean }}
 *   AppliedResponse
 */

/**
 * @param {import('./transport.js').Answer} answer
 * @param {import('./build_request.js').SyncRequest} request
 * @param {number} [correction_ms] of the phone's clock
 * @returns {Promise<AppliedResponse>}
 */
export function applyResponse(answer, request, correction_ms = 0) {
  return transaction(
    'rw',
    [...kinds, 'unknown_kind', 'outbox', 'meta', 'photo_bytes', 'cache'],
    async (tx) => {
      const server = await readServerState(tx);
      const clock = await readClockState(tx);
      const current =
        clock.device === request.device && server.cursor === request.cursor && server.epoch === request.epoch;
      // Without the lock another tab has advanced. The server may have been restored before it answered that
      // one, so what it said here is no evidence of what it has.
      if (!current) return { moved: new Set(), accepted: 0, rejected: 0, pulled: 0, restamped: false };
      // Each save advances the clock, so an equal clock means that nothing was saved meanwhile.
      const isUnchanged = request.complete && clock.last === request.last;
      // During a rewind nothing is sent: these are outcomes of the server before it was restored.
      const outcomes = server.rewinding ? [] : answer.outcomes;
      const {
        accepted,
        rejected,
        restamp: ahead,
      } = isUnchanged && allAccepted(outcomes, request.sent)
        ? await removeAccepted(tx, request.sent)
        : await applyOutcomes(tx, outcomes, request.sent);
      if (answer.rewound) {
        // What the server had before it was restored is no evidence of what it has now.
        server.seen = null;
        await markAllUnconfirmed(tx);
        await markPhotosUnconfirmed(tx);
      }
      const { moved, last, dropped, late, changed } = await applyPage(tx, answer.changes, clock.device);
      const passed = await passOn(tx, [...late, ...valuesWithoutMerge(request.sent, answer.changes)]);
      const offset_ms = offsetMs(answer.now);
      clock.last = maxClock(clock.last, last);
      // The next request may be under way and hold the survivor without these values.
      if (passed) clock.last = nextTimestamp({ ...clock, offset_ms });
      if (dropped.length > 0) clock.last = await writeAgain(tx, dropped, nextTimestamp({ ...clock, offset_ms }));
      changed.push(...(await changedHere(tx, request.sent, answer.changes)));
      if (changed.length > 0) clock.last = await keepExamples(tx, changed, nextTimestamp({ ...clock, offset_ms }));
      server.seen = maxClock(server.seen, last, ...confirmed(outcomes, request.sent).map(latestClock));
      if (ahead) clock.last = await restamp(tx, clock.device, Date.now() + offset_ms, server.seen);
      const device = answer.fork ? newDeviceId() : clock.device;
      await tx.meta.bulkPut([{ ...clock, device, offset_ms, correction_ms }, nextServerState(server, answer)]);
      for (const change of request.sent) moved.add(change.kind);
      return { moved, accepted, rejected, pulled: answer.changes.length, restamped: ahead };
    },
    { strict: false },
  );
}

/**
 * @param {import('./server_state.js').ServerState} server
 * @param {import('./transport.js').Answer} answer
 * @returns {import('./server_state.js').ServerState}
 */
function nextServerState(server, answer) {
  return {
    ...server,
    epoch: answer.epoch,
    token: answer.token,
    cursor: answer.cursor,
    rewinding: (server.rewinding || answer.rewound) && answer.more,
    rewound_at: answer.rewound ? timestamp() : server.rewound_at,
    last_synced: answer.more ? server.last_synced : timestamp(),
  };
}

/**
 * Use the phone's time while it is close to the server's.
 * @param {number} serverNow ms
 */
function offsetMs(serverNow) {
  const offset = Math.round(serverNow - Date.now());
  return Math.abs(offset) > timing.skew_ms ? offset : 0;
}

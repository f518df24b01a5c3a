// The sync loop. Each stage has a file of its own; screens read the state in status.js.
import { liveQuery } from '../vendor/dexie.js';
import { refreshPalate, refreshPalateSoon } from '../store/palate_cache.js';
import { retryOverQuota, uploadPhotos } from '../photos/upload.js';
import { refreshSentinel } from '../store/persistence.js';
import { StoreError } from '../store/errors.js';
import { activity, counts, syncStatus } from './status.js';
import { db, transaction } from '../store/database.js';
import { hasDue, msUntilRetry } from './build_request.js';
import { countUnsent } from './count_unsent.js';
import { withSyncLock } from './lock.js';
import { retryRejected } from './quarantine.js';
import { round } from './round.js';
import { readServerState } from './server_state.js';
import { Schedule, onReconnect } from './schedule.js';

export { syncStatus };

const schedule = new Schedule(() => withSyncLock(runRound).catch(afterError), hasDue);
let started = false;
let hasRetried = false;

/** Start the loop; further calls do nothing. */
export function startSync() {
  if (started) return;
  started = true;
  liveQuery(readStatus).subscribe({
    next: (found) => {
      counts.value = found.counts;
      if (found.book) refreshSentinel(found.book, found.counts.onlyHere);
      if (found.counts.unsent > 0) schedule.afterChange();
    },
    error: (error) => {
      console.error(error);
    },
  });
  onReconnect(() => schedule.wake());
  refreshPalate();
  schedule.now();
}

/**
 * Sync at once: after signing in, or on request.
 * @returns {Promise<'done' | 'waiting' | 'signin' | 'apart' | 'update'>} how the round ended
 */
export async function syncNow() {
  return (await schedule.now()).end;
}

/**
 * Sync more often while somebody waits for answers of others.
 * @param {number} ms
 * @returns {() => void} ends it
 */
export function syncEvery(ms) {
  schedule.limitInterval(ms);
  return () => schedule.limitInterval(Infinity);
}

/** Mark the restored server as read. */
export async function acknowledgeRewind() {
  await transaction('rw', ['meta'], async (tx) => {
    await tx.meta.put({ ...(await readServerState(tx)), rewound_at: null });
  });
}

async function readStatus() {
  const [[clock, server], { pending, waiting, onlyHere, rejected }, photos] = await Promise.all([
    db.meta.bulkGet(['clock', 'server']),
    countUnsent(db.outbox),
    db.photo_bytes.where('state').anyOf('unsent', 'refused').count(),
  ]);
  return {
    book: clock?.book,
    counts: {
      unsent: pending,
      ...waiting,
      onlyHere,
      photos,
      rejected: rejected.map(({ kind, id, errors }) => ({ kind, id, errors: errors ?? {} })),
      lastSynced: server?.last_synced ?? null,
      cursor: server?.cursor ?? 0,
      rewoundAt: server?.rewound_at ?? null,
    },
  };
}

/** @returns {Promise<import('./round.js').RoundEnd>} */
async function runRound() {
  activity.value = { phase: 'syncing', progress: null };
  try {
    if (!hasRetried) {
      await Promise.all([retryRejected(), retryOverQuota()]);
      hasRetried = true;
    }
    const end = await round((progress) => {
      activity.value = { phase: 'syncing', progress };
    });
    activity.value = { phase: end.end === 'done' ? 'idle' : end.end, progress: null };
    if (end.end === 'done') afterRound(end.moved);
    return end;
  } catch (error) {
    return afterError(error);
  }
}

/**
 * Continue after an error. Errors of the database are shown by `storeState`; a refused lock is
 * retried.
 * @param {unknown} error
 * @returns {import('./round.js').RoundEnd}
 */
function afterError(error) {
  if (!(error instanceof StoreError)) console.error(error);
  activity.value = { phase: 'waiting', progress: null };
  return { end: 'waiting', wait_ms: 0, moved: new Set() };
}

/** @param {Set<string>} moved kinds of the records sent or received */
function afterRound(moved) {
  if (['tasting', 'bottle', 'settings'].some((kind) => moved.has(kind))) refreshPalateSoon();
  for (const waiting of [msUntilRetry().catch(() => null), uploadPhotos()]) {
    waiting.then((wait_ms) => {
      if (wait_ms !== null) schedule.runWithin(wait_ms);
    });
  }
}

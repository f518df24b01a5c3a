// Syncs every few seconds while a page of a running table is seen, so that answers reach the leader within five
// seconds, and a guest who joins is seen sooner.
import { useEffect } from '../../lib/ui.js';
import { syncEvery, syncNow, syncStatus } from '../../sync/index.js';

const INTERVAL_MS = 3_000;
const WAITING_MS = 1_500;
/** At a table the server is tried again sooner than the usual backoff does. */
const RETRY_MS = 10_000;

/** @param {boolean} isRunning @param {boolean} [isWaiting] whether the first guest is waited for */
export function useFrequentSync(isRunning, isWaiting = false) {
  useEffect(() => {
    if (!isRunning) return undefined;
    let end = () => {};
    const follow = () => {
      end();
      end = document.visibilityState === 'visible' ? syncOften(isWaiting ? WAITING_MS : INTERVAL_MS) : () => {};
    };
    follow();
    document.addEventListener('visibilitychange', follow);
    return () => {
      document.removeEventListener('visibilitychange', follow);
      end();
    };
  }, [isRunning, isWaiting]);
}

/** @param {number} ms @returns {() => void} ends it */
function syncOften(ms) {
  const stop = syncEvery(ms);
  const retry = setInterval(() => {
    if (syncStatus.peek().phase === 'waiting') syncNow();
  }, RETRY_MS);
  return () => {
    clearInterval(retry);
    stop();
  };
}

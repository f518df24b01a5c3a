// Syncs every few seconds while a page of a running table is seen, so that answers reach the leader within five
// seconds, and a guest who joins is seen sooner.
import { useEffect } from '../../lib/ui.js';
import { syncEvery } from '../../sync/index.js';

const INTERVAL_MS = 3_000;
const WAITING_MS = 1_500;

/** @param {boolean} isRunning @param {boolean} [isWaiting] whether the first guest is waited for */
export function useFrequentSync(isRunning, isWaiting = false) {
  useEffect(() => {
    if (!isRunning) return undefined;
    let end = () => {};
    const follow = () => {
      end();
      end = document.visibilityState === 'visible' ? syncEvery(isWaiting ? WAITING_MS : INTERVAL_MS) : () => {};
    };
    follow();
    document.addEventListener('visibilitychange', follow);
    return () => {
      document.removeEventListener('visibilitychange', follow);
      end();
    };
  }, [isRunning, isWaiting]);
}

// Syncs every few seconds while a page of a running table is seen, so that answers reach the leader
// within five seconds.
import { useEffect } from '../../lib/ui.js';
import { syncEvery } from '../../sync/index.js';

const INTERVAL_MS = 3_000;

/** @param {boolean} isRunning */
export function useFrequentSync(isRunning) {
  useEffect(() => {
    if (!isRunning) return undefined;
    let end = () => {};
    const follow = () => {
      end();
      end = document.visibilityState === 'visible' ? syncEvery(INTERVAL_MS) : () => {};
    };
    follow();
    document.addEventListener('visibilitychange', follow);
    return () => {
      document.removeEventListener('visibilitychange', follow);
      end();
    };
  }, [isRunning]);
}

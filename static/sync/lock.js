/**
 * One syncing tab at a time. The browser frees the lock when its tab closes; where there are no locks, two tabs
 * only waste
 * requests.
 * @template T
 * @param {() => Promise<T>} work
 * @returns {Promise<T>}
 */
export function withSyncLock(work) {
  if (!navigator.locks) return work();
  return /** @type {Promise<T>} */ (navigator.locks.request('secondnose-sync', work));
}

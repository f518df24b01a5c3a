/**
 * Let one tab sync at a time. The browser releases the lock when the tab closes. Without locks two
 * tabs only send redundant requests.
 * @template T
 * @param {() => Promise<T>} work
 * @returns {Promise<T>}
 */
export function withSyncLock(work) {
  if (!navigator.locks) return work();
  return /** @type {Promise<T>} */ (navigator.locks.request('secondnose-sync', work));
}

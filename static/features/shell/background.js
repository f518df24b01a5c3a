// Starts background work after the first paint.
import { loadEnglish } from '../../i18n.js';
import { stopSecondTap } from '../../lib/second_tap.js';
import { startSync } from '../../sync/index.js';
import { watchAccountEvents } from '../../account/events.js';
import { watchErasure } from '../../account/watch_erasure.js';
import { route } from '../../router.js';
import { lacksSnapshot } from '../../first_paint.js';
import { changeCount } from '../../store/changes.js';
import { registerServiceWorker } from './new_version.js';
import { watchPages } from './page_focus.js';

export { NewVersion } from './new_version.js';

const QUIET_MS = 2000;

export function startBackground() {
  loadEnglish().catch(() => undefined);
  addEventListener('click', stopSecondTap, true);
  watchPages();
  let isStarted = false;
  // A guest's page leaves the notebook alone: a phone at somebody's table need not have one.
  route.subscribe(({ screen }) => {
    if (isStarted || screen === 'guest') return;
    isStarted = true;
    startSync();
    watchAccountEvents();
    keepSnapshot();
  });
  watchErasure();
  registerServiceWorker();
}

/** Make the snapshot of the notebook's first page again soon after a write, at once if the page may be closed. */
function keepSnapshot() {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  const renew = () => {
    clearTimeout(timer);
    timer = setTimeout(
      async () => {
        if (lacksSnapshot()) (await import('../book/list/snapshot.js')).renewSnapshot();
      },
      document.hidden ? 0 : QUIET_MS,
    );
  };
  changeCount.subscribe(renew);
  document.addEventListener('visibilitychange', renew);
}

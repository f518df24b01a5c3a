// Starts background work after the first paint.
import { startSync } from '../../sync/index.js';
import { watchAccountEvents } from '../../account/events.js';
import { route } from '../../router.js';
import { registerServiceWorker } from './new_version.js';

export { NewVersion } from './new_version.js';

export function startBackground() {
  let isStarted = false;
  // A guest's page leaves the notebook alone: a phone at somebody's table need not have one.
  route.subscribe(({ screen }) => {
    if (isStarted || screen === 'guest') return;
    isStarted = true;
    startSync();
    watchAccountEvents();
  });
  registerServiceWorker();
}

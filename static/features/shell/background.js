// Starts background work after the first paint.
import { startSync } from '../../sync/index.js';
import { watchAccountEvents } from '../../account/events.js';
import { registerServiceWorker } from './new_version.js';

export { NewVersion } from './new_version.js';

export function startBackground() {
  startSync();
  watchAccountEvents();
  registerServiceWorker();
}

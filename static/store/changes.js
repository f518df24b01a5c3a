/** A signal that changes whenever a table changes, in this tab or another. */
import Dexie from '../vendor/dexie.js';
import { signal } from '../vendor/signals-core.js';

/** Number of changes since the page was opened. */
export const changeCount = signal(0);

Dexie.on('storagemutated', () => {
  changeCount.value += 1;
});

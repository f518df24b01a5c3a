/**
 * A signal that moves whenever a table of the book changes, here or in another tab.
 */
import Dexie from '../vendor/dexie.js';
import { signal } from '../vendor/signals-core.js';

/** How many changes were seen since the page was opened. */
export const changeCount = signal(0);

Dexie.on('storagemutated', () => {
  changeCount.value += 1;
});

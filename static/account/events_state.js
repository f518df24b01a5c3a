/** Account events as a signal, apart from the code that fetches them, which is loaded later. */
import { signal } from '../vendor/signals-core.js';

export const accountEvents = signal(/** @type {import('./events.js').AccountEvent[]} */ ([]));

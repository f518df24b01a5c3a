/** What a page may know of the account's news before the part that asks for them is fetched. */
import { signal } from '../vendor/signals-core.js';

export const accountNews = signal(/** @type {import('./news.js').AccountEvent[]} */ ([]));

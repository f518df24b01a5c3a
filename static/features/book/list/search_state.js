// State of search and filters, kept while the app is open, so that returning from a page restores
// the list.
import { computed, signal } from '../../../lib/ui.js';
import { searchIndex } from '../../../domain/search_index.js';
import { search, forgivingSearch, isFiltering, NO_FILTERS, tokenize } from './search.js';

/** @typedef {import('../../../domain/search_index.js').Entry} Entry */
/** @typedef {import('./search.js').Filters} Filters */

export const query = signal('');
export const filters = signal(/** @type {Filters} */ (NO_FILTERS));
export const scrollPosition = { y: 0 };

export const isSearching = computed(() => tokenize(query.value).length > 0 || isFiltering(filters.value));

/** @type {{ from: Entry[] | null, filters: Filters, words: string[], found: Entry[] }} */
let last = { from: null, filters: NO_FILTERS, words: [], found: [] };

/** Null until the index was read. */
export const results = computed(() => {
  const from = searchIndex.value;
  if (!from) return null;
  const words = tokenize(query.value);
  // Longer words only narrow the results, so the search continues in the previous ones.
  const isRefinement =
    last.from === from &&
    last.filters === filters.value &&
    last.words.length <= words.length &&
    last.words.every((word, index) => words[index]?.includes(word));
  last = {
    from,
    filters: filters.value,
    words,
    found: isRefinement ? search(last.found, words, NO_FILTERS) : search(from, words, filters.value),
  };
  return last.found.length || !words.length ? last.found : forgivingSearch(from, words, filters.value);
});

/** @param {Partial<Filters>} change */
export function setFilter(change) {
  filters.value = { ...filters.peek(), ...change };
}

export function clearFilters() {
  query.value = '';
  filters.value = NO_FILTERS;
}

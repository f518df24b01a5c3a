// List of all tastings, newest first, filtered by typed text and chips.
import { html, useEffect, useLayoutEffect, useMemo } from '../../../lib/ui.js';
import { route } from '../../../router.js';
import { t } from '../../../i18n.js';
import { Page } from '../../shell/page.js';
import { VirtualList } from '../../../components/layout/virtual_list.js';
import { liveSignal } from '../../../store/queries.js';
import { hasDeletedNotes, searchIndex, watchSearchIndex } from '../../../domain/search_index.js';
import { EmptyBook, ExampleNotice } from './example_notice.js';
import { FilterChips } from './filter_chips.js';
import { firstEntries } from './first_entries.js';
import { saveSnapshot } from './snapshot.js';
import { listRows } from '../../../domain/list_rows.js';
import { results, isSearching, scrollPosition, clearFilters, query } from './search_state.js';

const IDLE_MS = 1000;

export function BookList() {
  useLayoutEffect(saveScrollPosition, []);
  const first = useMemo(() => liveSignal(firstEntries, prepared), []);
  // Reading all tastings would delay the first page, so the index starts after it.
  const isPainted = searchIndex.value !== null || first.value !== null;
  useEffect(() => (isPainted ? watchSearchIndex() : undefined), [isPainted]);
  // A search before the index is complete shows nothing yet, rather than results from the first
  // page only.
  const entries = searchIndex.value !== null ? results.value : isSearching.value ? null : first.value;
  useEffect(() => saveWhenIdle(entries), [entries]);
  const isEmpty = searchIndex.value?.length === 0;
  return html`<${Page} title=${t('app.room_book')}>
    <${ExampleNotice} />
    ${
      isEmpty
        ? html`<${EmptyBook} />`
        : html`<div class="book-search field">
        <label>
        <span class="unseen">${t('book.search')}
        </span>
        <input type="search" value=${query.value} placeholder=${t('book.search')} autocomplete="off"
            enterkeyhint="search"
          onInput=${(/** @type {Event} */ event) => {
            query.value = /** @type {HTMLInputElement} */ (event.target).value;
          }} /></label>
        <${FilterChips} />
      </div>`
    }
    ${entries && !isEmpty && html`<${Rows} entries=${entries} />`}
    ${isEmpty && html`<${DeletedLink} />`}
  <//>`;
}

/** Offer the deleted notes, only when there is one to restore. */
function DeletedLink() {
  return hasDeletedNotes.value && html`<a class="button plain" href="#/book/deleted">${t('book.deleted_title')}</a>`;
}

/**
 * The first page, read before the screen is rendered, so that the list is not empty at first.
 * @type {import('../../../domain/list_rows.js').ListEntry[] | null}
 */
let prepared = null;

export async function prepare() {
  if (!isListReady()) prepared = await firstEntries();
}

export function isListReady() {
  return searchIndex.peek() !== null;
}

/** @param {import('../../../domain/list_rows.js').ListEntry[] | null} entries as shown in the list */
function saveWhenIdle(entries) {
  if (!entries?.length || isSearching.peek() || searchIndex.peek() === null) return undefined;
  const timer = setTimeout(saveSnapshot, IDLE_MS);
  return () => clearTimeout(timer);
}

/** @param {{ entries: import('../../../domain/list_rows.js').ListEntry[] }} props */
function Rows({ entries }) {
  const lines = useMemo(() => listRows(entries), [entries]);
  if (isSearching.value && entries.length === 0)
    return html`<div class="empty">
    <p class="voice">${t('book.none_found')}
    </p>
    <button type="button" class="button" onClick=${clearFilters}>${t('book.show_all')}
    </button>
    </div>`;
  return html`<div class="found">
  <span class="soft small" role="status">
    ${
      isSearching.value
        ? t('book.found', { count: entries.length })
        : searchIndex.value && t('book.in_all', { count: entries.length })
    }
  </span>
      ${
        isSearching.value
          ? html`<button type="button" class="button plain" onClick=${clearFilters}>
        ${t('book.show_all')}
      </button>`
          : html`<span class="found-links"><${DeletedLink} />
        <a class="button plain" href="#/book/back">${t('book.back_title')}</a></span>`
      }
      </div>
    <${VirtualList} lines=${lines} className="tasting-list" label=${t('book.tastings')} />`;
}

/** Restore the scroll position after returning from a page. */
function saveScrollPosition() {
  // At the top this is skipped, because scrolling forces a layout.
  if (scrollPosition.y > 0) scrollTo(0, scrollPosition.y);
  // Navigation to another page scrolls to the top before this list is removed; that must not count.
  const note = () => {
    if (route.peek().path.length === 0) scrollPosition.y = scrollY;
  };
  addEventListener('scroll', note, { passive: true });
  return () => removeEventListener('scroll', note);
}

// Screen of the notebook: all tastings, and the pages behind them.
import { html, useEffect, useLayoutEffect, useRef, useState } from '../../lib/ui.js';
import { untilLoaded } from '../../lib/until_loaded.js';
import { preload, useLazy } from '../shell/lazy.js';
import { BookList, isListReady, prepare as prepareList } from './list/list.js';
import { scrollPosition } from './list/search_state.js';

const pageLoaders = {
  tasting: () => import('./tasting/tasting_page.js').then((module) => module.TastingPage),
  bottle: () => import('./bottle/bottle_page.js').then((module) => module.BottlePage),
  side: () => import('../compare/compare_page.js').then((module) => module.BookComparePage),
  back: () => import('./statistics/statistics_page.js').then((module) => module.StatisticsPage),
  deleted: () => import('./deleted/deleted_page.js').then((module) => module.DeletedPage),
  twins: () => import('./duplicates/duplicates_page.js').then((module) => module.DuplicatesPage),
};

/** The tasting whose page data was read last. */
let readLast = '';

/** @param {string} tasting */
async function readAhead(tasting) {
  const { prepare: read } = await untilLoaded(() => import('./tasting/tasting_page.js'));
  await read(tasting);
  readLast = tasting;
}

/** @param {string[]} path */
export async function prepare(path) {
  const { page, key } = pageAt(path);
  await Promise.all([page ? preload(pageLoaders[page]) : prepareList(), page === 'tasting' && readAhead(key)]);
}

/** @param {string[]} path */
export function isReady(path) {
  return !path.length && isListReady();
}

/** @param {{ path: string[], query: URLSearchParams }} props */
export function Screen({ path }) {
  const { page, key, props } = pageAt(path);
  const LazyPage = useLazy(page && pageLoaders[page]);
  const isRead = useReadAhead(page === 'tasting' ? key : null);
  useEffect(
    () => () => {
      scrollPosition.y = 0;
    },
    [],
  );
  // The previous page stays until the next one is loaded.
  const previous = useRef(/** @type {unknown} */ (null));
  if (!page) previous.current = html`<${BookList} />`;
  else if (LazyPage && isRead) previous.current = html`<${LazyPage} key=${key} ...${props} />`;
  return previous.current;
}

/**
 * @param {string | null} tasting
 * @returns {boolean} whether the page's data was read; always true for other pages
 */
function useReadAhead(tasting) {
  const [read, setRead] = useState(readLast);
  useLayoutEffect(() => {
    let left = false;
    if (tasting && read !== tasting)
      readAhead(tasting).then(() => {
        if (!left) setRead(tasting);
      });
    return () => {
      left = true;
    };
  }, [tasting]);
  return tasting === null || read === tasting;
}

/**
 * @param {string[]} path
 * @returns {{ page: keyof typeof pageLoaders | null, key: string, props: Record<string, unknown> }}
 */
function pageAt([first, second, ...others]) {
  if (!first) return { page: null, key: '', props: {} };
  if (first === 'side' && second) return { page: 'side', key: 'side', props: { ids: [second, ...others] } };
  if (first === 'back' || first === 'twins' || first === 'deleted') return { page: first, key: first, props: {} };
  if (first === 'bottle' && second) return { page: 'bottle', key: second, props: { id: second } };
  return { page: 'tasting', key: first, props: { id: first } };
}

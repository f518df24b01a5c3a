// Lazy loading: a screen's further pages and sheets are fetched when first opened, so that the
// screen itself needs few files.
import { html, signal, useEffect, useRef, useState } from '../../lib/ui.js';
import { untilLoaded } from '../../lib/until_loaded.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';

const SLOW_MS = 4_000;

/** @typedef {(props: any) => unknown} Screen */
/** @typedef {() => Promise<Screen>} Loader must be the same function each time, because it is the cache key */

/** @type {Map<Loader, Screen>} */
const loaded = new Map();

/**
 * @param {Loader} loader
 * @returns {Promise<Screen>} when it resolves, `useLazy` returns it at once
 */
export async function preload(loader) {
  const screen = loaded.get(loader) ?? (await untilLoaded(loader));
  loaded.set(loader, screen);
  return screen;
}

/**
 * @param {Loader | null} loader null for a component that is not lazy
 * @returns {Screen | null} null until it is loaded
 */
export function useLazy(loader) {
  const [, rerender] = useState(0);
  useEffect(() => {
    if (!loader || loaded.has(loader)) return undefined;
    return sayIfSlow(preload(loader), () => rerender((times) => times + 1));
  }, [loader]);
  return (loader && loaded.get(loader)) || null;
}

/**
 * Show what comes, and say so if it does not come soon.
 * @param {Promise<unknown>} coming
 * @param {() => void} show
 * @returns {() => void} forgets it, because the page was left
 */
export function sayIfSlow(coming, show) {
  const isOver = signal(false);
  const say = () => showToast(t('app.slow'), null, { yields: true, isOver: () => isOver.value });
  const timer = setTimeout(say, SLOW_MS);
  const forget = () => {
    isOver.value = true;
    clearTimeout(timer);
  };
  coming.then(() => {
    if (!isOver.peek()) show();
    forget();
  });
  return forget;
}

/**
 * Show a sheet that is loaded when first opened. It stays mounted, so that closing it restores the
 * focus.
 * @param {{ loader: Loader, open: boolean } & Record<string, unknown>} props
 */
export function LazySheet({ loader, open: isOpen, ...props }) {
  const asked = useRef(false);
  asked.current ||= isOpen;
  const Sheet = useLazy(asked.current ? loader : null);
  return Sheet && html`<${Sheet} open=${isOpen} ...${props} />`;
}

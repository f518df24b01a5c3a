// Lazy loading: a screen's further pages and sheets are fetched when first opened, so that the
// screen itself needs few files.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';

/** @typedef {(props: any) => unknown} Screen */
/** @typedef {() => Promise<Screen>} Loader must be the same function each time, because it is the cache key */

/** @type {Map<Loader, Screen>} */
const loaded = new Map();

/**
 * @param {Loader} loader
 * @returns {Promise<Screen>} when it resolves, `useLazy` returns it at once
 */
export async function preload(loader) {
  const screen = loaded.get(loader) ?? (await loader());
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
    let left = false;
    if (loader && !loaded.has(loader))
      preload(loader).then(() => {
        if (!left) rerender((times) => times + 1);
      });
    return () => {
      left = true;
    };
  }, [loader]);
  return (loader && loaded.get(loader)) || null;
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

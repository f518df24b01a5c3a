// Lazy loading: a screen's further pages and sheets are fetched when first opened, so that the
// screen itself needs few files.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';

/** @typedef {(props: any) => unknown} Screen */
/** @typedef {() => Promise<Screen>} Loader must be the same function each time, because it is the cache key */

/** @type {Map<Loader, Screen>} */
const here = new Map();

/**
 * @param {Loader} door
 * @returns {Promise<Screen>} when it resolves, `useLazy` returns it at once
 */
export async function preload(door) {
  const screen = here.get(door) ?? (await door());
  here.set(door, screen);
  return screen;
}

/**
 * @param {Loader | null} door null for a component that is not lazy
 * @returns {Screen | null} null until it is loaded
 */
export function useLazy(door) {
  const [, arrive] = useState(0);
  useEffect(() => {
    let left = false;
    if (door && !here.has(door))
      preload(door).then(() => {
        if (!left) arrive((times) => times + 1);
      });
    return () => {
      left = true;
    };
  }, [door]);
  return (door && here.get(door)) || null;
}

/**
 * Show a sheet that is loaded when first opened. It stays mounted, so that closing it restores the
 * focus.
 * @param {{ door: Loader, open: boolean } & Record<string, unknown>} props
 */
export function LazySheet({ door, open: isOpen, ...props }) {
  const asked = useRef(false);
  asked.current ||= isOpen;
  const Leaf = useLazy(asked.current ? door : null);
  return Leaf && html`<${Leaf} open=${isOpen} ...${props} />`;
}

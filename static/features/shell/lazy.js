// What lies behind the first screen of a room: each page and leaf is fetched when it is first asked for, so that the
// room itself opens on few files.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';

/** @typedef {(props: any) => unknown} Screen */
/**
 * @typedef {() => Promise<Screen>} Loader one and the same function each time, for it is what a screen is remembered
 *   by
 */

/** @type {Map<Loader, Screen>} */
const here = new Map();

/** @param {Loader} door @returns {Promise<Screen>} once it is fetched, `useLazy` has it at once */
export async function preload(door) {
  const screen = here.get(door) ?? (await door());
  here.set(door, screen);
  return screen;
}

/**
 * @param {Loader | null} door none for a screen that is here from the start
 * @returns {Screen | null} null until it is fetched
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
 * A leaf that is fetched when it is first opened, and stays from then on, so that closing it leads back to where one
 *   was.
 * @param {{ door: Loader, open: boolean } & Record<string, unknown>} props
 */
export function LazySheet({ door, open: isOpen, ...props }) {
  const asked = useRef(false);
  asked.current ||= isOpen;
  const Leaf = useLazy(asked.current ? door : null);
  return Leaf && html`<${Leaf} open=${isOpen} ...${props} />`;
}

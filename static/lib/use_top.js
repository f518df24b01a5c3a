// Opens each page, step and glass of a table at its top, also one that the back button returns to.
import { useLayoutEffect } from './ui.js';

/** @param {string} key of what is shown: the page is scrolled up whenever it changes */
export function useTop(key) {
  useLayoutEffect(() => scrollTo(0, 0), [key]);
}

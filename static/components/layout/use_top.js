// Opens each page, step and glass of a table at its top, also one that the back button returns to.
import { useLayoutEffect, useRef } from '../../lib/ui.js';
import { toTop } from '../../router.js';

/** @param {string} key of what is shown: the page is scrolled up whenever it changes */
export function useTop(key) {
  const isShown = useRef(false);
  useLayoutEffect(() => {
    if (isShown.current) toTop();
    else scrollTo(0, 0);
    isShown.current = true;
  }, [key]);
}

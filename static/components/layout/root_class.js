// Classes of the root element, which tell the style sheets what is on the page. Selectors with `:has()` would tell them
// too, but the browser checks those again at every change of the page.
import { useLayoutEffect } from '../../lib/ui.js';

/** @type {Record<string, number>} how many components ask for each class */
const uses = {};

/** @param {string | null} name null: no class */
export function useRootClass(name) {
  useLayoutEffect(() => {
    if (!name) return undefined;
    count(name, 1);
    return () => count(name, -1);
  }, [name]);
}

/** @param {string} name @param {number} more */
function count(name, more) {
  uses[name] = (uses[name] ?? 0) + more;
  // After the whole render, because the browser styles the old page again when its focused link is removed.
  queueMicrotask(() => document.documentElement.classList.toggle(name, uses[name] !== 0));
}

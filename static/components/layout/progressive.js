// Renders a long page in pieces: the visible ones at once, each further piece after a paint, so
// that input is handled in between.
import { useEffect, useMemo, useState } from '../../lib/ui.js';

/**
 * @param {number} all number of pieces
 * @param {number} first rendered at once
 * @param {number} [more] added after each paint
 * @returns {number} number to render now
 */
export function useProgressiveCount(all, first, more = 1) {
  const [drawn, setDrawn] = useState(first);
  useEffect(() => {
    if (drawn >= all) return undefined;
    const timer = setTimeout(() => setDrawn(drawn + more));
    return () => clearTimeout(timer);
  }, [drawn, all]);
  return Math.min(drawn, all);
}

/**
 * Create the pieces once and return those to render now. Existing pieces are the same objects in
 * each render.
 * @param {() => unknown[]} make
 * @param {unknown[]} of dependencies of `make`
 * @param {{ limit?: number, first?: number, more?: number }} [how] most: maximum number; first and
 *   more as above
 * @returns {unknown[]}
 */
export function useProgressiveList(make, of, { limit = Infinity, first = 0, more = 1 } = {}) {
  const pieces = useMemo(make, of);
  return pieces.slice(0, useProgressiveCount(Math.min(pieces.length, limit), first, more));
}

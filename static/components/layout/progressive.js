// A long page drawn a piece at a time: what is first seen at once, each further piece after the paint of the one
// before, so that a tap on a slow phone is answered soon.
import { useEffect, useMemo, useState } from '../../lib/ui.js';

/**
 * @param {number} all pieces there are
 * @param {number} first how many are drawn at once
 * @param {number} [more] how many come with each further paint
 * @returns {number} how many are to be drawn now
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
 * The pieces themselves, each made once: one that stands is handed over as it was while others come.
 * @param {() => unknown[]} make
 * @param {unknown[]} of what they are made of
 * @param {{ most?: number, first?: number, more?: number }} [how] most: how many are wanted; first and more as above
 * @returns {unknown[]}
 */
export function useProgressiveList(make, of, { most = Infinity, first = 0, more = 1 } = {}) {
  const pieces = useMemo(make, of);
  return pieces.slice(0, useProgressiveCount(Math.min(pieces.length, most), first, more));
}

// A long list of which only the rows near the screen are in the page. Row heights are known beforehand, in rem, so
// that ten
// thousand rows cost no more than thirty.
import { html, useLayoutEffect, useMemo, useRef, useState } from '../../lib/ui.js';
import { remPx } from './root_font_size.js';

const BEYOND_PX = 600;
/** Drawn before the list has been measured, from its top: most of the screen, whose own height need not be measured. */
const FIRST_PX = Math.max(480, screen.height - 200);

/**
 * How tall each line is, and what a line shows.
 * @typedef {{ rems: number[], line: (at: number) => { key: string, row: unknown } }} Lines
 */

/** @param {{ lines: Lines, className?: string, label?: string }} props */
export function VirtualList({ lines, className, label }) {
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  const [[from, to], setSpan] = useState(/** @type {[number, number]} */ ([0, FIRST_PX]));
  const rem = useMemo(remPx, []);
  const tops = useMemo(() => offsets(lines.rems, rem), [lines, rem]);
  const count = lines.rems.length;
  const height = tops[count] ?? 0;
  useLayoutEffect(() => {
    const look = () => {
      const top = -(box.current?.getBoundingClientRect().top ?? 0);
      setSpan((old) =>
        shouldShift(old, top, innerHeight, height) ? [top - BEYOND_PX, top + innerHeight + BEYOND_PX] : old,
      );
    };
    // After the frame that paints the list: a tap waits for that one, and asked for here its layout would be done
    // twice.
    let later = 0;
    const frame = requestAnimationFrame(() => {
      later = setTimeout(look);
    });
    addEventListener('scroll', look, { passive: true });
    addEventListener('resize', look);
    return () => {
      cancelAnimationFrame(frame);
      clearTimeout(later);
      removeEventListener('scroll', look);
      removeEventListener('resize', look);
    };
  }, [height]);

  const first = indexAt(tops, from);
  const last = Math.min(count, indexAt(tops, to) + 1);
  // A row that stays on the page is handed over as it was, so that scrolling draws only what comes in.
  const kept = useMemo(() => /** @type {unknown[]} */ ([]), [lines, rem]);
  const drawn = (/** @type {number} */ at) => {
    const { key, row } = lines.line(at);
    return html`<div key=${key} role="listitem" aria-posinset=${at + 1} aria-setsize=${count}
      style=${{
        position: 'absolute',
        insetInline: 0,
        top: `${tops[at]}px`,
        height: `${/** @type {number} */ (lines.rems[at]) * rem}px`,
      }}>
        ${row}
      </div>`;
  };
  return html`<div ref=${box} class=${className} role="list" aria-label=${label}
      style=${{ position: 'relative', height: `${height}px` }}>
    ${Array.from({ length: last - first }, (_, index) => (kept[first + index] ??= drawn(first + index)))}
  </div>`;
}

/**
 * Where each line begins, and after the last one where the list ends, in px.
 * @param {number[]} rems
 * @param {number} rem in px
 */
export function offsets(rems, rem) {
  const tops = new Float64Array(rems.length + 1);
  for (let index = 0; index < rems.length; index += 1)
    tops[index + 1] = /** @type {number} */ (tops[index]) + /** @type {number} */ (rems[index]) * rem;
  return tops;
}

/** The last line that begins at or before `px`. @param {Float64Array} tops @param {number} px */
export function indexAt(tops, px) {
  let low = 0;
  let high = Math.max(0, tops.length - 2);
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (/** @type {number} */ (tops[middle]) <= px) low = middle;
    else high = middle - 1;
  }
  return low;
}

/**
 * Moves in strides, so that a scrolled pixel does not paint anew.
 * @param {[number, number]} span
 * @param {number} top
 * @param {number} screen
 * @param {number} height of the whole list
 */
function shouldShift([from, to], top, screen, height) {
  return (
    (from > 0 && top - from < BEYOND_PX / 3) ||
    (to < height && to - (top + screen) < BEYOND_PX / 3) ||
    top - from > 3 * BEYOND_PX
  );
}

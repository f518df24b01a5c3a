// A long list of which only the rows near the screen are in the page. Row heights are known beforehand, in rem, so that ten
// thousand rows cost no more than thirty.
import { html, useEffect, useLayoutEffect, useMemo, useRef, useState } from '../ui.js';

const BEYOND_PX = 600;
/** Drawn before the list has been measured, from its top: most of the screen, whose own height need not be measured. */
const FIRST_PX = Math.max(480, screen.height - 200);
/** So close to the end of the lines more of them are asked for. */
const AHEAD_PX = 3200;

/** @typedef {{ key: string, rem: number, row: () => unknown }} Line */

/**
 * @param {object} props
 * @param {Line[]} props.lines
 * @param {string} [props.className]
 * @param {string} [props.label]
 * @param {() => void} [props.onNearEnd] called when the end of `lines` comes close to the screen
 */
export function Windowed({ lines, className, label, onNearEnd }) {
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  const [[from, to], setSpan] = useState(/** @type {[number, number]} */ ([0, FIRST_PX]));
  const rem = useMemo(() => parseFloat(getComputedStyle(document.documentElement).fontSize), []);
  const tops = useMemo(() => stack(lines, rem), [lines, rem]);
  const height = tops[lines.length] ?? 0;
  useLayoutEffect(() => {
    const look = () => {
      const top = -(box.current?.getBoundingClientRect().top ?? 0);
      setSpan((old) => (needsMove(old, top, innerHeight, height) ? [top - BEYOND_PX, top + innerHeight + BEYOND_PX] : old));
    };
    // After the frame that paints the list: a tap waits for that one, and asked for here its layout would be done twice.
    let later = 0;
    const frame = requestAnimationFrame(() => { later = setTimeout(look); });
    addEventListener('scroll', look, { passive: true });
    addEventListener('resize', look);
    return () => { cancelAnimationFrame(frame); clearTimeout(later); removeEventListener('scroll', look); removeEventListener('resize', look); };
  }, [height]);
  const nearEnd = to + AHEAD_PX > height;
  useEffect(() => { if (nearEnd) onNearEnd?.(); }, [nearEnd, lines]);

  const first = firstAfter(tops, from);
  const last = Math.min(lines.length, firstAfter(tops, to) + 1);
  // A row that stays on the page is handed over as it was, so that scrolling draws only what comes in.
  const kept = useMemo(() => /** @type {unknown[]} */ ([]), [lines, rem]);
  const drawn = (/** @type {number} */ at) => {
    const { key, rem: tall, row } = /** @type {Line} */ (lines[at]);
    kept[at] ??= html`<div key=${key} role="listitem" aria-posinset=${at + 1} aria-setsize=${lines.length}
      style=${{ position: 'absolute', insetInline: 0, top: `${tops[at]}px`, height: `${tall * rem}px` }}>${row()}</div>`;
    return kept[at];
  };
  return html`<div ref=${box} class=${className} role="list" aria-label=${label} style=${{ position: 'relative', height: `${height}px` }}>
    ${lines.slice(first, last).map((_, index) => drawn(first + index))}
  </div>`;
}

/** Where each line begins, and after the last one where the list ends, in px. @param {Line[]} lines @param {number} rem */
export function stack(lines, rem) {
  const tops = new Float64Array(lines.length + 1);
  for (let index = 0; index < lines.length; index += 1) tops[index + 1] = /** @type {number} */ (tops[index]) + /** @type {Line} */ (lines[index]).rem * rem;
  return tops;
}

/** The last line that begins at or before `px`. @param {Float64Array} tops @param {number} px */
export function firstAfter(tops, px) {
  let low = 0;
  let high = Math.max(0, tops.length - 2);
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (/** @type {number} */ (tops[middle]) <= px) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Moves in strides, so that a scrolled pixel does not paint anew. @param {[number, number]} span @param {number} top @param {number} screen @param {number} height of the whole list */
function needsMove([from, to], top, screen, height) {
  return (from > 0 && top - from < BEYOND_PX / 3) || (to < height && to - (top + screen) < BEYOND_PX / 3) || top - from > 3 * BEYOND_PX;
}

// Virtual list: only rows near the viewport are in the page. Row heights are known in rem, so that
// ten thousand rows cost no more than thirty. A print has all rows.
import { html, useLayoutEffect, useMemo, useRef, useState } from '../../lib/ui.js';
import { firstIndex } from '../../lib/first_index.js';
import { printing } from '../../lib/printing.js';
import { remPx } from './root_font_size.js';

const OVERSCAN_PX = 600;
/**
 * Height rendered before the list is measured. An estimate, because measuring would force a layout.
 */
const FIRST_PX = Math.max(480, screen.height - 200);

/**
 * Number of lines, where each begins in rem, and what it shows; `top(count)` is the end of the list.
 * @typedef {{ count: number, top: (at: number) => number, line: (at: number) => { key: string, row: unknown } }} Lines
 */

/** @param {{ lines: Lines, className?: string, label?: string, px?: number }} props px: height rendered at first */
export function VirtualList({ lines, className, label, px = FIRST_PX }) {
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  const [[from, to], setSpan] = useState(/** @type {[number, number]} */ ([0, px]));
  const rem = useMemo(remPx, []);
  const { count } = lines;
  const height = lines.top(count) * rem;
  useLayoutEffect(() => {
    const look = () => {
      const top = -(box.current?.getBoundingClientRect().top ?? 0);
      setSpan((old) =>
        shouldShift(old, top, innerHeight, height) ? [top - OVERSCAN_PX, top + innerHeight + OVERSCAN_PX] : old,
      );
    };
    // After the frame that paints the list: measuring now would force a second layout while a tap
    // waits.
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

  // Paper has no viewport: fold.css lays all rows one below the other.
  const first = printing.value ? 0 : lineAt(lines, from / rem);
  const last = printing.value ? count : Math.min(count, lineAt(lines, to / rem) + 1);
  // Rows that stay in the page are reused, so that scrolling renders only new rows.
  const rendered = useMemo(() => /** @type {unknown[]} */ ([]), [lines, rem]);
  const drawn = (/** @type {number} */ at) => {
    const { key, row } = lines.line(at);
    return html`<div key=${key} role="listitem" aria-posinset=${at + 1} aria-setsize=${count}
      style=${{
        position: 'absolute',
        insetInline: 0,
        top: `${lines.top(at) * rem}px`,
        height: `${(lines.top(at + 1) - lines.top(at)) * rem}px`,
      }}>
        ${row}
      </div>`;
  };
  return html`<div ref=${box} class=${className} role="list" aria-label=${label}
      style=${{ position: 'relative', height: `${height}px` }}>
    ${Array.from({ length: last - first }, (_, index) => (rendered[first + index] ??= drawn(first + index)))}
  </div>`;
}

/**
 * Return the last line that begins at or before `rems`.
 * @param {Lines} lines
 * @param {number} rems
 */
function lineAt({ count, top }, rems) {
  return Math.max(0, firstIndex(0, count, (line) => top(line) > rems) - 1);
}

/**
 * Tell whether to move the rendered span. It moves in large steps, so that most scroll events
 * render nothing.
 * @param {[number, number]} span
 * @param {number} top
 * @param {number} screen
 * @param {number} height of the whole list
 */
function shouldShift([from, to], top, screen, height) {
  return (
    (from > 0 && top - from < OVERSCAN_PX / 3) ||
    (to < height && to - (top + screen) < OVERSCAN_PX / 3) ||
    top - from > 3 * OVERSCAN_PX
  );
}

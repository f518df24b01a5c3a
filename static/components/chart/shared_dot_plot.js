// Lettered marks on one axis for comparison. Lanes separate marks that would overlap.
import { html, useId } from '../../lib/ui.js';
import { number } from '../../lib/format.js';
import { assignLanes } from './lanes.js';

const MIN_DISTANCE = 8;

/** @typedef {{ letter: string, value: number }} LetteredMark */

/**
 * @param {{ label: string, low?: string, high?: string, min?: number, max?: number, marks: LetteredMark[], format?:
 *   (value: number) => string }} props
 */
export function SharedDotPlot({
  label,
  low = '',
  high = '',
  min = 0,
  max = 10,
  marks,
  format = (value) => number(value),
}) {
  const labelId = useId();
  const placed = assignLanes(
    marks.map(({ letter, value }) => ({ letter, at: Math.min(100, Math.max(0, ((value - min) / (max - min)) * 100)) })),
    MIN_DISTANCE,
  );
  const rows = 1 + Math.max(0, ...placed.map((mark) => mark.lane));
  return html`<div class="shared-line" role="group" aria-labelledby=${labelId}>
    <span class="shared-line-name" id=${labelId}>${label}
    </span>
    <span class="unseen">${marks.map(({ letter, value }) => `${letter} ${format(value)}`).join(', ')}
    </span>
    <div class="shared-line-rule" aria-hidden="true" style=${{ '--rows': rows }}>
      ${placed.map(
        ({ letter, at, lane }) => html`<span class="lettered" key=${letter}
          style=${{ left: `${at}%`, '--row': lane }}>
        ${letter}
      </span>`,
      )}
    </div>
    ${(low || high) && html`<div class="scale-ends" aria-hidden="true"><span>${low}</span><span>${high}</span></div>`}
  </div>`;
}

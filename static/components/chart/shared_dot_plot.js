// Several lettered marks on one ruled line, so that they can be compared at a glance; those that would cover each
// other step aside.
import { html } from '../../lib/ui.js';
import { number } from '../../lib/format.js';

const APART = 8;

/** @typedef {{ letter: string, value: number }} LetteredMark */

/**
 * @param {{ label: string, low?: string, high?: string, min?: number, max?: number, marks: LetteredMark[], said?:
 *   (value: number) => string }} props
 */
export function SharedDotPlot({
  label,
  low = '',
  high = '',
  min = 0,
  max = 10,
  marks,
  said = (value) => number(value),
}) {
  const placed = assignLanes(
    marks.map(({ letter, value }) => ({ letter, at: Math.min(100, Math.max(0, ((value - min) / (max - min)) * 100)) })),
  );
  const rows = 1 + Math.max(0, ...placed.map((mark) => mark.row));
  return html`<div class="shared-line">
    <span class="shared-line-name">${label}
    </span>
    <span class="unseen">${marks.map(({ letter, value }) => `${letter} ${said(value)}`).join(', ')}
    </span>
    <div class="shared-line-rule" aria-hidden="true" style=${{ '--rows': rows }}>
      ${placed.map(
        ({ letter, at, row }) => html`<span class="lettered" key=${letter}
          style=${{ left: `${at}%`, '--row': row }}>
        ${letter}
      </span>`,
      )}
    </div>
    ${(low || high) && html`<div class="scale-ends" aria-hidden="true"><span>${low}</span><span>${high}</span></div>`}
  </div>`;
}

/**
 * @param {{ letter: string, at: number }[]} marks
 * @returns {{ letter: string, at: number, row: number }[]} each in the lowest row where nothing is in its way
 */
export function assignLanes(marks) {
  /** @type {{ letter: string, at: number, row: number }[]} */
  const placed = [];
  for (const mark of marks) {
    let row = 0;
    while (placed.some((other) => other.row === row && Math.abs(other.at - mark.at) < APART)) row += 1;
    placed.push({ ...mark, row });
  }
  return placed;
}

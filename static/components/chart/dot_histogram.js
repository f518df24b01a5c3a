// Histogram: stacked strokes for the number of values in each bin, each centred on its value.
import { html } from '../../lib/ui.js';

/**
 * @param {object} props
 * @param {number} props.min
 * @param {number} props.max
 * @param {number} props.step width of one bin
 * @param {number[]} props.values
 * @param {string} props.label
 */
export function DotHistogram({ min, max, step, values, label }) {
  const stacks = binCounts(values, { min, max, step });
  const highest = Math.max(1, ...stacks);
  const width = (100 * step) / (max - min);
  return html`<svg class="strip" viewBox="0 0 100 20" preserveAspectRatio="none" role="img" aria-label=${label}>
    ${stacks.map(
      (count, index) =>
        count > 0 &&
        html`<rect x=${index * width - width * 0.35} width=${width * 0.7}
        y=${20 - (20 * count) / highest} height=${(20 * count) / highest} />`,
    )}
  </svg>`;
}

/**
 * @param {number[]} values
 * @param {{ min: number, max: number, step: number }} line the bins are around min, min + step and so on to max;
 *   values outside count in the first or last one
 */
export function binCounts(values, { min, max, step }) {
  const stacks = /** @type {number[]} */ (new Array(Math.round((max - min) / step) + 1).fill(0));
  for (const value of values) {
    const index = Math.min(stacks.length - 1, Math.max(0, Math.round((value - min) / step)));
    stacks[index] = /** @type {number} */ (stacks[index]) + 1;
  }
  return stacks;
}

// Histogram: stacked strokes for the number of values in each bin.
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
  const width = 100 / stacks.length;
  return html`<svg class="strip" viewBox="0 0 100 20" preserveAspectRatio="none" role="img" aria-label=${label}>
    ${stacks.map(
      (count, index) =>
        count > 0 &&
        html`<rect x=${index * width + width * 0.15} width=${width * 0.7}
        y=${20 - (20 * count) / highest} height=${(20 * count) / highest} />`,
    )}
  </svg>`;
}

/**
 * @param {number[]} values
 * @param {{ min: number, max: number, step: number }} line values outside count in the first or
 *   last bin
 */
export function binCounts(values, { min, max, step }) {
  const stacks = /** @type {number[]} */ (new Array(Math.max(1, Math.round((max - min) / step))).fill(0));
  for (const value of values) {
    // The small addition puts 13.3, whose float is just below, into its own bin.
    const index = Math.min(stacks.length - 1, Math.max(0, Math.floor((value - min) / step + 1e-9)));
    stacks[index] = /** @type {number} */ (stacks[index]) + 1;
  }
  return stacks;
}

// How many lie where, as small strokes stacked on a ruled line.
import { html } from '../../lib/ui.js';

/**
 * @param {object} props
 * @param {number} props.min
 * @param {number} props.max
 * @param {number} props.step width of one stack
 * @param {number[]} props.values
 * @param {string} props.said
 */
export function DotHistogram({ min, max, step, values, said }) {
  const stacks = binCounts(values, { min, max, step });
  const most = Math.max(1, ...stacks);
  const width = 100 / stacks.length;
  return html`<svg class="strip" viewBox="0 0 100 20" preserveAspectRatio="none" role="img" aria-label=${said}>
    ${stacks.map(
      (count, index) =>
        count > 0 &&
        html`<rect x=${index * width + width * 0.15} width=${width * 0.7}
        y=${20 - (20 * count) / most} height=${(20 * count) / most} />`,
    )}
  </svg>`;
}

/**
 * @param {number[]} values
 * @param {{ min: number, max: number, step: number }} line what lies beyond an end counts at that end
 */
export function binCounts(values, { min, max, step }) {
  const stacks = /** @type {number[]} */ (new Array(Math.max(1, Math.round((max - min) / step))).fill(0));
  for (const value of values) {
    // A hair is added so that 13.3, a float just under its tenth, falls where it is printed.
    const index = Math.min(stacks.length - 1, Math.max(0, Math.floor((value - min) / step + 1e-9)));
    stacks[index] = /** @type {number} */ (stacks[index]) + 1;
  }
  return stacks;
}

// The shared alcohol axis of all rows.
import { computed } from '../../../lib/ui.js';
import { rows, preferred } from './shelf_state.js';

// Usual range of wine. The shelf's bottles and the preferred range extend it, but outliers do not.
const USUAL = { min: 10, max: 16 };
const MAX_RANGE = { min: 4, max: 22 };
// Smaller values are incomplete input.
const MIN_PREFERRED = 5;
const FENCE = 1.5;

export const axis = computed(() => {
  const lows = rows.value.flatMap(({ range }) => (range.low === null ? [] : [range.low / 100]));
  const highs = rows.value.flatMap(({ range }) => (range.high === null ? [] : [range.high / 100]));
  const ends = [preferred.value.low, preferred.value.high]
    .filter((end) => end !== null && end >= MIN_PREFERRED)
    .map(Number);
  return {
    min: Math.max(MAX_RANGE.min, Math.floor(Math.min(USUAL.min, ...withoutOutliers(lows), ...ends))),
    max: Math.min(MAX_RANGE.max, Math.ceil(Math.max(USUAL.max, ...withoutOutliers(highs), ...ends))),
  };
});

/**
 * Remove values further than 1.5 interquartile ranges from the quartiles (Tukey 1977).
 * @param {number[]} values
 */
function withoutOutliers(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (/** @type {number} */ share) => sorted[Math.round(share * (sorted.length - 1))] ?? 0;
  const [q1, q3] = [at(0.25), at(0.75)];
  const margin = FENCE * (q3 - q1);
  return sorted.filter((value) => value >= q1 - margin && value <= q3 + margin);
}

/** @param {{ min: number, max: number }} line @returns {number[]} the percentages with a number */
export function tickValues({ min, max }) {
  const interval = max - min > 8 ? 2 : 1;
  return Array.from({ length: max - min + 1 }, (_, index) => min + index).filter(
    (value) => (value - min) % interval === 0,
  );
}

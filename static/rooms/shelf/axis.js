// The one ruled line of alcohol under all rows, so that they can be compared by eye.
import { computed } from '../../ui.js';
import { rows, wanted } from './shelf_state.js';

// Where most wine lies; a shelf with lighter or stronger bottles widens the line as far as these.
const USUAL = { min: 10, max: 16 };
const WIDEST = { min: 4, max: 22 };
const NARROWEST_WANTED = 5;

export const axis = computed(() => {
  const printed = rows.value.flatMap(({ range }) => (range.low === null || range.high === null ? [] : [range.low / 100, range.high / 100]));
  const ends = [...printed, ...[wanted.value.low, wanted.value.high].filter((end) => end !== null && end >= NARROWEST_WANTED)].map(Number);
  return {
    min: Math.max(WIDEST.min, Math.floor(Math.min(USUAL.min, ...ends))),
    max: Math.min(WIDEST.max, Math.ceil(Math.max(USUAL.max, ...ends))),
  };
});

/** @param {{ min: number, max: number }} line whole per cents that carry a figure */
export function figures({ min, max }) {
  const stride = max - min > 8 ? 2 : 1;
  return Array.from({ length: max - min + 1 }, (_, index) => min + index).filter((value) => (value - min) % stride === 0);
}

// What charts of a palate draw, the owner's and another person's.
import { isLiked, likingFraction } from './text.js';

/** Half the width of an 80 % interval, in standard deviations. */
export const HALF_INTERVAL_SD = 1.2816;

/**
 * Return a dot for each tasting, higher the better it was liked.
 * @param {{ x: number, liking: number }[]} tastings
 */
export function dotsOf(tastings) {
  return tastings.map(({ x, liking }) => ({ x, height: likingFraction(liking), filled: isLiked(liking) }));
}

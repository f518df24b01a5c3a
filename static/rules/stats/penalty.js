import { TradeError } from '../errors.js';
import { number } from './numbers.js';

const FEWEST_A_SIDE = 5;
const SHARE_TO_ACT = 0.2;

/**
 * Drops in liking on either side of just right; see webapp/trade/penalty.py.
 * @param {unknown[]} marks -1, 0, 1 or null
 * @param {unknown[]} liking 1-9 or null, in step
 */
export function penalties(marks, liking) {
  if (marks.length !== liking.length) throw new TradeError('unequal_lengths', 'marks');
  /** @type {{ low: number[], right: number[], high: number[] }} */
  const sides = { low: [], right: [], high: [] };
  marks.forEach((mark, index) => {
    const side = number(mark, 'marks');
    const value = number(liking[index], 'liking');
    if (side !== null && ![-1, 0, 1].includes(side)) throw new TradeError('bad_mark', 'marks');
    if (side === null || value === null) return;
    sides[side < 0 ? 'low' : side > 0 ? 'high' : 'right'].push(value);
  });
  const count = sides.low.length + sides.right.length + sides.high.length;
  const right = mean(sides.right);
  return { count, mean_right: right, low: sideOf(sides.low, right, count), high: sideOf(sides.high, right, count) };
}

/**
 * @param {number[]} liked
 * @param {number | null} right
 * @param {number} count
 */
function sideOf(liked, right, count) {
  const own = mean(liked);
  const share = count > 0 ? liked.length / count : 0;
  const drop = own === null || right === null ? null : right - own;
  const enough = liked.length >= FEWEST_A_SIDE && share >= SHARE_TO_ACT;
  return {
    count: liked.length,
    share,
    mean: own,
    drop,
    weighted: drop === null ? null : drop * share,
    act: enough && drop !== null && drop > 0,
  };
}

/** @param {number[]} values */
function mean(values) {
  return values.length > 0 ? values.reduce((total, value) => total + value, 0) / values.length : null;
}

// Finds the angle of the lines of print in a picture.
import { cutOut, halve } from './gray.js';

/** @typedef {import('./gray.js').Gray} Gray */

const LARGEST_DEGREES = 12;
const WORKING_EDGE_PX = 700;

/**
 * Return the angle in radians, clockwise, of the lines of print: the one at which ink is gathered in the fewest rows.
 * @param {Gray} even print dark on white
 * @returns {number}
 */
export function lineAngle(even) {
  let small = even;
  while (Math.max(small.width, small.height) > WORKING_EDGE_PX) small = halve(small);
  let best = 0;
  for (const step of [2, 0.5, 0.25]) {
    const reach = step === 2 ? LARGEST_DEGREES : step === 0.5 ? 2 : 0.5;
    let most = -1;
    const middle = best;
    for (let degrees = middle - reach; degrees <= middle + reach + 1e-9; degrees += step) {
      const found = gathered(small, (degrees * Math.PI) / 180);
      if (found > most) [most, best] = [found, degrees];
    }
  }
  return (best * Math.PI) / 180;
}

/** @param {Gray} gray @param {number} angle @returns {number} the variance of the differences of neighbouring rows */
function gathered(gray, angle) {
  const margin = 0.1;
  const { data, width, height } = cutOut(gray, {
    x: gray.width / 2,
    y: gray.height / 2,
    width: gray.width * (1 - margin),
    height: gray.height * (1 - margin),
    angle,
    scale: 1,
  });
  let [before, sum] = [0, 0];
  for (let y = 0; y < height; y += 1) {
    let row = 0;
    for (let x = 0; x < width; x += 1) row += Number(data[y * width + x]);
    if (y > 0) sum += (row - before) ** 2;
    before = row;
  }
  return sum;
}

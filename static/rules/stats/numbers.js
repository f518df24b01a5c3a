import { RuleError } from '../errors.js';

/**
 * Round to `digits` decimals, halves towards plus infinity (2.5 -> 3, -2.5 -> -2).
 * @param {number} value
 * @param {number} [digits]
 */
export function roundHalfUp(value, digits = 0) {
  const scale = 10 ** digits;
  const scaled = value * scale;
  const below = Math.floor(scaled);
  // Comparing the remainder rounds 0.49999999999999994 down; adding 0.5 first would not.
  return (scaled - below >= 0.5 ? below + 1 : below) / scale;
}

/**
 * Require a finite number or no value (returned as null); reject booleans and text.
 * @param {unknown} value
 * @param {string} field
 * @returns {number | null}
 */
export function number(value, field) {
  if (value === null || value === undefined) return null;
  if (typeof value !== 'number' || !Number.isFinite(value)) throw new RuleError('not_number', field);
  return value;
}

/**
 * Require a finite number.
 * @param {unknown} value
 * @param {string} field
 */
export function required(value, field) {
  const found = number(value, field);
  if (found === null) throw new RuleError('missing', field);
  return found;
}

/**
 * Require a number between two bounds (included), or no value (returned as null).
 * @param {unknown} value
 * @param {string} field
 * @param {number} low
 * @param {number} high
 */
export function inRange(value, field, low, high) {
  const found = number(value, field);
  if (found !== null && found < low) throw new RuleError('too_low', field);
  if (found !== null && found > high) throw new RuleError('too_high', field);
  return found;
}

/**
 * Require a number between two bounds (included).
 * @param {unknown} value
 * @param {string} field
 * @param {number} low
 * @param {number} high
 */
export function requiredInRange(value, field, low, high) {
  const found = required(value, field);
  inRange(found, field, low, high);
  return found;
}

/**
 * Convert a strength in percent (0-100) to whole hundredths, so that bounds compare exactly.
 * @param {unknown} value
 * @param {string} field
 */
export function toHundredths(value, field) {
  const percent = inRange(value, field, 0, 100);
  return percent === null ? null : roundHalfUp(percent * 100);
}

/**
 * Interpolate linearly between points of ascending x; constant outside.
 * @param {readonly (readonly number[])[]} points
 * @param {number} x
 */
export function interpolate(points, x) {
  const [first, ...rest] = points;
  let [x0, y0] = [Number(first?.[0]), Number(first?.[1])];
  for (const point of rest) {
    const [x1, y1] = [Number(point[0]), Number(point[1])];
    if (x <= x0) return y0;
    if (x < x1) return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
    [x0, y0] = [x1, y1];
  }
  return y0;
}

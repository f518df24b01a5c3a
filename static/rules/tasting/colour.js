import data from '../../spec/hues.json' with { type: 'json' };
import { swatches } from './swatches.js';
import { RuleError } from '../errors.js';
import { requiredInRange } from '../stats/numbers.js';

// Sources of the formulas: tests/reference/rules/colour.py.

/** @typedef {[number, number, number]} Triple */

/** @type {Triple[]} */
const MATRIX = [
  [0.4124564, 0.3575761, 0.1804375],
  [0.2126729, 0.7151522, 0.072175],
  [0.0193339, 0.119192, 0.9503041],
];
/** @type {Triple} */
const WHITE = [0.95047, 1.0, 1.08883];
const EPSILON = 216 / 24389;
const KAPPA = 24389 / 27;
// Half a turn in degrees. The margin treats hues as opposite despite rounding.
const OPPOSITE = 180 + 1e-9;
// A darker white is in shadow or not white; dividing by it would distort the colour.
const DARKEST_WHITE = 0.08;

/**
 * Compute the CIELAB colour of the wine relative to the white in the same picture, both sRGB 0-255.
 * @param {unknown[]} wineRgb
 * @param {unknown[]} whiteRgb
 */
export function labOnWhite(wineRgb, whiteRgb) {
  const white = linear(whiteRgb);
  if (Math.min(...white) < DARKEST_WHITE) throw new RuleError('white_too_dark', 'white_rgb');
  const wine = linear(wineRgb);
  // A channel brighter than the white is a reflection, so it is clipped.
  return toLab([Math.min(1, wine[0] / white[0]), Math.min(1, wine[1] / white[1]), Math.min(1, wine[2] / white[2])]);
}

/**
 * Sort the hues of a wine colour (red, white, rose, amber) by distance; `difference` is CIEDE2000.
 * @param {unknown[]} lab
 * @param {string} colour
 * @returns {{ id: string, difference: number }[]}
 */
export function hueProposals(lab, colour) {
  const hues = data.hues.filter((hue) => hue.colour === colour);
  if (hues.length === 0) throw new RuleError('unknown_colour', 'colour');
  return hues
    .map((hue) => ({ id: hue.id, difference: ciede2000(lab, swatches[hue.id]?.lab ?? []) }))
    .sort((a, b) => a.difference - b.difference);
}

/**
 * Compute the difference of two CIELAB colours by CIEDE2000, all weights 1.
 * @param {unknown[]} lab1
 * @param {unknown[]} lab2
 */
export function ciede2000(lab1, lab2) {
  const [l1, a1, b1] = triple(lab1, 'lab', -1000, 1000);
  const [l2, a2, b2] = triple(lab2, 'lab', -1000, 1000);
  const meanChroma = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
  const g = 0.5 * (1 - Math.sqrt(meanChroma ** 7 / (meanChroma ** 7 + 25 ** 7)));
  const [c1, h1] = [Math.hypot(a1 * (1 + g), b1), angle(a1 * (1 + g), b1)];
  const [c2, h2] = [Math.hypot(a2 * (1 + g), b2), angle(a2 * (1 + g), b2)];
  const meanC = (c1 + c2) / 2;
  const meanH = meanHue(c1, c2, h1, h2);
  const lightness = (l2 - l1) / weightL((l1 + l2) / 2);
  const chroma = (c2 - c1) / (1 + 0.045 * meanC);
  const hue =
    (2 * Math.sqrt(c1 * c2) * Math.sin(radians(hueDifference(c1, c2, h1, h2) / 2))) /
    (1 + 0.015 * meanC * weightT(meanH));
  return Math.sqrt(Math.max(0, lightness ** 2 + chroma ** 2 + hue ** 2 + rotation(meanC, meanH) * chroma * hue));
}

/**
 * @param {unknown[]} rgb
 * @returns {Triple}
 */
function linear(rgb) {
  const [r, g, b] = triple(rgb, 'rgb', 0, 255);
  return [opened(r / 255), opened(g / 255), opened(b / 255)];
}

/** @param {number} share */
function opened(share) {
  return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
}

/**
 * @param {Triple} rgb
 * @returns {Triple}
 */
function toLab([r, g, b]) {
  const [x, y, z] = MATRIX.map(([mr, mg, mb], row) => root((mr * r + mg * g + mb * b) / (WHITE[row] ?? 1)));
  return [116 * Number(y) - 16, 500 * (Number(x) - Number(y)), 200 * (Number(y) - Number(z))];
}

/** @param {number} t */
function root(t) {
  return t > EPSILON ? Math.cbrt(t) : (KAPPA * t + 16) / 116;
}

/**
 * @param {unknown[]} values
 * @param {string} field
 * @param {number} low
 * @param {number} high
 * @returns {Triple}
 */
function triple(values, field, low, high) {
  if (values.length !== 3) throw new RuleError('bad_colour', field);
  const [x, y, z] = values.map((value) => requiredInRange(value, field, low, high));
  return [Number(x), Number(y), Number(z)];
}

/** @param {number} degrees */
function radians(degrees) {
  return (degrees * Math.PI) / 180;
}

/**
 * @param {number} a
 * @param {number} b
 */
function angle(a, b) {
  const degrees = (Math.atan2(b, a) * 180) / Math.PI;
  return degrees < 0 ? degrees + 360 : degrees;
}

/**
 * Return the signed hue difference in degrees, the short way round.
 * @param {number} c1
 * @param {number} c2
 * @param {number} h1
 * @param {number} h2
 */
function hueDifference(c1, c2, h1, h2) {
  const difference = h2 - h1;
  if (c1 * c2 === 0) return 0;
  if (difference > OPPOSITE) return difference - 360;
  return difference < -OPPOSITE ? difference + 360 : difference;
}

/**
 * @param {number} c1
 * @param {number} c2
 * @param {number} h1
 * @param {number} h2
 */
function meanHue(c1, c2, h1, h2) {
  if (c1 * c2 === 0) return h1 + h2;
  if (Math.abs(h1 - h2) <= OPPOSITE) return (h1 + h2) / 2;
  return h1 + h2 < 360 ? (h1 + h2 + 360) / 2 : (h1 + h2 - 360) / 2;
}

/** @param {number} meanL */
function weightL(meanL) {
  const square = (meanL - 50) ** 2;
  return 1 + (0.015 * square) / Math.sqrt(20 + square);
}

/** @param {number} meanH */
function weightT(meanH) {
  const cosine = (/** @type {number} */ degrees) => Math.cos(radians(degrees));
  return (
    1 -
    0.17 * cosine(meanH - 30) +
    0.24 * cosine(2 * meanH) +
    0.32 * cosine(3 * meanH + 6) -
    0.2 * cosine(4 * meanH - 63)
  );
}

/**
 * @param {number} meanC
 * @param {number} meanH
 */
function rotation(meanC, meanH) {
  const degrees = 30 * Math.exp(-(((meanH - 275) / 25) ** 2));
  return -2 * Math.sqrt(meanC ** 7 / (meanC ** 7 + 25 ** 7)) * Math.sin(radians(2 * degrees));
}

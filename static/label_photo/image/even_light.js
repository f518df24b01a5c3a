// Evens the light of a picture and makes its print dark on white, whether it is so on the label or not.

/** @typedef {import('./gray.js').Gray} Gray */
/** @typedef {{ mean: Float32Array, spread: Float32Array }} Light of each pixel; spread < 0 where print is light */

/** Below this standard deviation there is no print, only noise; at least so many times the noise. */
const FLAT = 9;
const FLAT_NOISES = 3;
/** How many standard deviations make the step from paper to ink. */
const SPREAD = 2.2;
const PAPER = 0.06;

/**
 * Return how light and how uneven the surroundings of each pixel are.
 * @param {Gray} gray
 * @param {number} radius of the surroundings in pixels; wider than the thickest stroke
 * @returns {Light}
 */
export function lightOf(gray, radius) {
  const { width, height } = gray;
  const flat = Math.max(FLAT, FLAT_NOISES * noiseOf(gray));
  const sums = integrals(gray);
  const mean = new Float32Array(width * height);
  const spread = new Float32Array(width * height);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) setStatistics(sums, width, height, x, y, radius, mean, spread, flat);
  setPolarity(gray, mean, spread, Math.max(8, radius), flat);
  return { mean, spread };
}

/**
 * @param {number} value of a pixel
 * @param {number} mean
 * @param {number} spread
 * @returns {number} 0 for ink to 255 for paper
 */
export function evened(value, mean, spread) {
  const ink = (mean - value) / (spread * SPREAD) + PAPER;
  return ink <= 0 ? 255 : ink >= 1 ? 0 : 255 - 255 * ink;
}

/** @param {Gray} gray @param {Light} light @returns {Gray} */
export function evenLight({ data, width, height }, { mean, spread }) {
  const out = new Uint8Array(data.length);
  for (let at = 0; at < data.length; at += 1) out[at] = evened(Number(data[at]), Number(mean[at]), Number(spread[at]));
  return { data: out, width, height };
}

/**
 * Estimate the standard deviation of the noise from the differences of neighbours, most of which have no edge between.
 * @param {Gray} gray
 * @returns {number}
 */
export function noiseOf({ data, width, height }) {
  const counts = new Uint32Array(256);
  let all = 0;
  for (let y = 1; y < height; y += 7)
    for (let at = y * width + 1; at < (y + 1) * width; at += 3, all += 1) {
      const difference = Math.abs(Number(data[at]) - Number(data[at - 1]));
      counts[difference] = Number(counts[difference]) + 1;
    }
  let [seen, median] = [0, 0];
  while (median < 255 && (seen += Number(counts[median])) < all / 2) median += 1;
  // Of a normal distribution the median of |a - b| is 0.954 standard deviations.
  return median / 0.954;
}

/** @typedef {{ sum: Float64Array, square: Float64Array }} Sums */

/** @param {Gray} gray @returns {Sums} sums over all pixels above and left of each */
function integrals({ data, width, height }) {
  const sum = new Float64Array((width + 1) * (height + 1));
  const square = new Float64Array((width + 1) * (height + 1));
  for (let y = 0; y < height; y += 1) {
    let [row, rowSquare] = [0, 0];
    for (let x = 0; x < width; x += 1) {
      const value = Number(data[y * width + x]);
      row += value;
      rowSquare += value * value;
      const at = (y + 1) * (width + 1) + x + 1;
      sum[at] = Number(sum[at - width - 1]) + row;
      square[at] = Number(square[at - width - 1]) + rowSquare;
    }
  }
  return { sum, square };
}

/**
 * @param {Sums} sums
 * @param {number} width
 * @param {number} height
 * @param {number} x
 * @param {number} y
 * @param {number} r
 * @param {Float32Array} means
 * @param {Float32Array} spreads
 * @param {number} flat
 */
function setStatistics({ sum, square }, width, height, x, y, r, means, spreads, flat) {
  const left = x > r ? x - r : 0;
  const top = y > r ? y - r : 0;
  const right = x + r + 1 < width ? x + r + 1 : width;
  const bottom = y + r + 1 < height ? y + r + 1 : height;
  const stride = width + 1;
  const [a, b, c, d] = [top * stride + left, top * stride + right, bottom * stride + left, bottom * stride + right];
  const count = (right - left) * (bottom - top);
  const mean = (Number(sum[d]) - Number(sum[b]) - Number(sum[c]) + Number(sum[a])) / count;
  const squares = (Number(square[d]) - Number(square[b]) - Number(square[c]) + Number(square[a])) / count;
  means[y * width + x] = mean;
  spreads[y * width + x] = Math.max(flat, Math.sqrt(Math.max(0, squares - mean * mean)));
}

/**
 * Make the spread negative where print is lighter than its ground. Print covers the smaller part of its ground, so the
 * third moment of a tile and its neighbours has its sign.
 * @param {Gray} gray
 * @param {Float32Array} mean
 * @param {Float32Array} spread
 * @param {number} tile edge in pixels
 * @param {number} flat
 */
function setPolarity({ data, width, height }, mean, spread, tile, flat) {
  const [columns, rows] = [Math.ceil(width / tile), Math.ceil(height / tile)];
  const skew = new Float64Array(columns * rows);
  for (let y = 0; y < height; y += 2) {
    for (let x = 0; x < width; x += 2) {
      const at = y * width + x;
      const sd = Number(spread[at]);
      if (sd <= flat) continue;
      const place = Math.floor(y / tile) * columns + Math.floor(x / tile);
      skew[place] = Number(skew[place]) + ((Number(data[at]) - Number(mean[at])) / sd) ** 3;
    }
  }
  const around = smoothed(skew, columns, rows);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1)
      if (Number(around[Math.floor(y / tile) * columns + Math.floor(x / tile)]) > 0)
        spread[y * width + x] = -Number(spread[y * width + x]);
}

/** @param {Float64Array} values @param {number} columns @param {number} rows @returns {Float64Array} sums of 5 by 3 */
function smoothed(values, columns, rows) {
  const out = new Float64Array(values.length);
  for (let y = 0; y < rows; y += 1)
    for (let x = 0; x < columns; x += 1)
      for (let dy = -1; dy <= 1; dy += 1)
        for (let dx = -2; dx <= 2; dx += 1) {
          const [u, v] = [x + dx, y + dy];
          if (u >= 0 && v >= 0 && u < columns && v < rows)
            out[y * columns + x] = Number(out[y * columns + x]) + Number(values[v * columns + u]);
        }
  return out;
}

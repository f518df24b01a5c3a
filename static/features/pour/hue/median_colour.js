// Colour around a point of an image: the median of each channel, so that reflections do not count.

const RADIUS_PX = 6;

/**
 * @param {{ data: Uint8ClampedArray | number[], width: number, height: number }} picture RGBA, row by row
 * @param {number} x
 * @param {number} y
 * @returns {[number, number, number]} sRGB 0..255
 */
export function medianColour(picture, x, y) {
  /** @type {[number[], number[], number[]]} */
  const channels = [[], [], []];
  for (let row = Math.max(0, y - RADIUS_PX); row <= Math.min(picture.height - 1, y + RADIUS_PX); row += 1) {
    for (let column = Math.max(0, x - RADIUS_PX); column <= Math.min(picture.width - 1, x + RADIUS_PX); column += 1) {
      for (const [channel, values] of channels.entries())
        values.push(picture.data[(row * picture.width + column) * 4 + channel] ?? 0);
    }
  }
  return [median(channels[0]), median(channels[1]), median(channels[2])];
}

/** @param {number[]} values */
function median(values) {
  return values.sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
}

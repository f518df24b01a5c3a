// Assigns wines to glasses at random.

export const MAX_GLASSES = 12;

/**
 * @param {number} below
 * @returns {number} an integer from 0, uniformly distributed
 */
export function randomInt(below) {
  const limit = Math.floor(2 ** 32 / below) * below;
  const [drawn = 0] = crypto.getRandomValues(new Uint32Array(1));
  return drawn < limit ? drawn % below : randomInt(below);
}

/**
 * @param {number} wines number of wines
 * @param {boolean} repeated whether a random one of them is served twice
 * @param {(below: number) => number} [random]
 * @returns {number[]} the wine of each glass, by index
 */
export function shuffleGlasses(wines, repeated, random = randomInt) {
  const glasses = Array.from({ length: wines }, (_, index) => index);
  if (repeated && wines > 0) glasses.push(random(wines));
  for (let index = glasses.length - 1; index > 0; index -= 1) {
    const other = random(index + 1);
    [glasses[index], glasses[other]] = [/** @type {number} */ (glasses[other]), /** @type {number} */ (glasses[index])];
  }
  return glasses;
}

/**
 * @param {number} index
 * @returns {string} the letter on a glass
 */
export function glassLetter(index) {
  return String.fromCharCode('A'.charCodeAt(0) + index);
}

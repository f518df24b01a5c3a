// Loads a part of the app over a network that fails now and then.
const AGAIN_MS = 2_000;

/** @param {number} [ms] @returns {Promise<void>} */
export const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/**
 * Load a part, and ask for it again until it comes: a second tap on the same button or link would not ask.
 * @template T
 * @param {() => Promise<T>} load
 * @returns {Promise<T>}
 */
export const untilLoaded = (load) =>
  load().catch((error) => {
    console.error(error);
    return pause(AGAIN_MS).then(() => untilLoaded(load));
  });

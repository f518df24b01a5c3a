import { grapeNames, plainGrape, splitGrapes } from './grapes.js';

const TOO_SHORT = 3;

/**
 * Tell whether a guessed grape is among the bottle's grapes, whatever its spelling and by whichever of its names.
 * @param {unknown} guess
 * @param {unknown} truth
 */
export function sameGrape(guess, truth) {
  const inBottle = new Set(grapes(truth));
  return grapes(guess).some((each) => [each, ...grapeNames(each).map(plainGrape)].some((name) => inBottle.has(name)));
}

/**
 * List the grapes of a bottle by all of their names: what somebody may say to be right.
 * @param {unknown} truth
 * @returns {string[]} plain, each once
 */
export function rightGrapes(truth) {
  return [...new Set(grapes(truth).flatMap((each) => [each, ...grapeNames(each).map(plainGrape)]))];
}

/** @param {unknown} text */
function grapes(text) {
  return splitGrapes(String(text ?? ''))
    .map(plainGrape)
    .filter((each) => each.length >= TOO_SHORT);
}

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

/** @param {unknown} text */
function grapes(text) {
  return splitGrapes(String(text ?? ''))
    .map(plainGrape)
    .filter((each) => each.length >= TOO_SHORT);
}

import { plainText } from '../../lib/plain_text.js';

const TOO_SHORT = 3;

/**
 * Tell whether a guessed grape is among the bottle's grapes, regardless of spelling.
 * @param {unknown} guess
 * @param {unknown} truth
 */
export function sameGrape(guess, truth) {
  const inBottle = grapes(truth);
  return grapes(guess).some((each) => inBottle.includes(each));
}

/** @param {unknown} text */
function grapes(text) {
  return plainText(String(text ?? ''))
    .split(/[,;/&+]| and /)
    .map((each) => each.trim())
    .filter((each) => each.length >= TOO_SHORT);
}

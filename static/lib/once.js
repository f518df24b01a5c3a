/**
 * Ignore the second click of a double click, because by then something else may be under the finger.
 * @param {() => void} act
 */
export function once(act) {
  return (/** @type {MouseEvent} */ press) => {
    if (press.detail < 2) act();
  };
}

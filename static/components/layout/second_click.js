// Acts once at a double click, whose second click meets what the first one uncovered: the next row of a list, or the
// page below a closed sheet.

/** @param {() => void} act @returns {(press: MouseEvent) => void} */
export function once(act) {
  return ({ detail }) => {
    if (detail > 1) return;
    addEventListener('click', ignoreSecond, { capture: true, once: true });
    act();
  };
}

/** @param {MouseEvent} press the next one anywhere on the page */
function ignoreSecond(press) {
  if (press.detail < 2) return;
  press.preventDefault();
  press.stopPropagation();
}

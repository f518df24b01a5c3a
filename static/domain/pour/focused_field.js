// The line under the thumb: while somebody types in it, no word from elsewhere replaces theirs.

/** @typedef {'tasting' | 'bottle'} Side */

/** What was typed in since the line has the focus, as `side.field`. @type {Set<string>} */
const typed = new Set();
/** @type {((side: Side, field: string) => void)[]} */
const hearers = [];

/** @param {Side} side @param {string[]} fields that were written by hand just now */
export function noteTyped(side, fields) {
  const line = lineInFocus();
  for (const field of fields) if (line === `${side}.${field}`) typed.add(line);
}

/** @param {Side} side @param {string} field */
export function isTypedIn(side, field) {
  const line = `${side}.${field}`;
  return typed.has(line) && lineInFocus() === line;
}

/** @param {(side: Side, field: string) => void} hear called when a line that was typed in loses the focus */
export function onLeft(hear) {
  hearers.push(hear);
}

/** @returns {string | undefined} `side.field` */
function lineInFocus() {
  const { activeElement } = document;
  if (!(activeElement instanceof HTMLInputElement || activeElement instanceof HTMLTextAreaElement)) return undefined;
  return /** @type {HTMLElement | null} */ (activeElement.closest('[data-field]'))?.dataset['field'];
}

document.addEventListener('focusout', () => {
  const lines = [...typed];
  typed.clear();
  for (const line of lines) {
    const [side, field] = /** @type {[Side, string]} */ (line.split('.'));
    for (const hear of hearers) hear(side, field);
  }
});

// Protects a focused field: while the user types, edits from elsewhere do not replace the text.

/** @typedef {'tasting' | 'bottle'} Target */

/** Fields typed in since they got the focus, as `side.field`. @type {Set<string>} */
const typedFields = new Set();
/** @type {((side: Target) => void)[]} */
const listeners = [];

/**
 * @param {Target} side
 * @param {string[]} fields that the user has just changed
 */
export function noteTyped(side, fields) {
  const line = focusedField();
  for (const field of fields) if (line === `${side}.${field}`) typedFields.add(line);
}

/** @param {Target} side @param {string} field */
export function isTypedIn(side, field) {
  const line = `${side}.${field}`;
  return typedFields.has(line) && focusedField() === line;
}

/** @param {(side: Target) => void} listener called when a field that was typed in loses the focus */
export function onBlur(listener) {
  listeners.push(listener);
}

/** @returns {string | undefined} `side.field` */
function focusedField() {
  const { activeElement } = document;
  if (!(activeElement instanceof HTMLInputElement || activeElement instanceof HTMLTextAreaElement)) return undefined;
  return /** @type {HTMLElement | null} */ (activeElement.closest('[data-field]'))?.dataset['field'];
}

document.addEventListener('focusout', () => {
  const sides = new Set([...typedFields].map((line) => /** @type {Target} */ (line.split('.')[0])));
  typedFields.clear();
  for (const side of sides) for (const hear of listeners) hear(side);
});

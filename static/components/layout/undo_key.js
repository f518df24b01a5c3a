// Control+Z and Cmd+Z press the undo button of a toast, because it stands far from the row that it tells about. Loaded
// with the first toast.

addEventListener('keydown', pressUndo, true);

/** @param {KeyboardEvent} event */
function pressUndo(event) {
  const { key, ctrlKey, metaKey } = event;
  const target = /** @type {Element} */ (event.target);
  if (key !== 'z' || !(ctrlKey || metaKey) || target.matches('input, textarea')) return;
  const undo = document.querySelector('[aria-keyshortcuts]');
  // Behind an open sheet nobody sees what it undoes.
  if (!undo || document.querySelector('dialog[open]')) return;
  event.preventDefault();
  /** @type {HTMLElement} */ (undo).click();
}

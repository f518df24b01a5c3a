// Keeps a pressed control under the finger while the page above it grows or shrinks.

/**
 * Scroll by as much as the control moves with the next rendering. Call it before the change.
 * @param {EventTarget | null} control
 */
export function keepInPlace(control) {
  if (!(control instanceof Element)) return;
  const before = control.getBoundingClientRect().top;
  // The screen is rendered by then and not painted yet.
  requestAnimationFrame(() => {
    if (control.isConnected) scrollBy({ top: control.getBoundingClientRect().top - before, behavior: 'instant' });
  });
}

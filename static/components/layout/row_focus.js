// Keeps the keyboard in a list whose row goes away, and leads it to the row that is brought back.

/** A row that did not go or come by then was not drawn. */
const LONGEST_MS = 2000;

/** Call it before the row that has the focus goes. @returns {() => void} call it when the row is to come back */
export function keepRowFocus() {
  const row = document.activeElement?.closest('li');
  const list = row?.parentElement;
  if (!row || !list) return () => undefined;
  const name = nameOf(row);
  const next = row.nextElementSibling ?? row.previousElementSibling;
  when(
    () => !row.isConnected,
    // Unless the keyboard went elsewhere meanwhile.
    () => document.activeElement === document.body && focusRow(next),
  );
  const found = () => [...document.querySelectorAll('#page li')].find((each) => nameOf(each) === name);
  return () =>
    when(
      () => Boolean(found()),
      () => focusRow(found()),
    );
}

/** @param {Element} row @returns {string} what its first control says */
const nameOf = (row) => row.querySelector('button, a')?.textContent ?? '';

/** @param {Element | null | undefined} row */
function focusRow(row) {
  const control = /** @type {HTMLElement | null | undefined} */ (row?.querySelector('button, a'));
  if (!control) return;
  control.focus({ preventScroll: true });
  if (control.matches(':focus-visible')) control.scrollIntoView({ block: 'nearest' });
}

/** @param {() => boolean} isDrawn @param {() => unknown} act done once, as soon as the page is drawn so */
function when(isDrawn, act) {
  const observer = new MutationObserver(look);
  const timer = setTimeout(() => observer.disconnect(), LONGEST_MS);
  observer.observe(document.body, { childList: true, subtree: true });
  function look() {
    if (!isDrawn()) return;
    observer.disconnect();
    clearTimeout(timer);
    act();
  }
}

// Control+Z and Cmd+Z press the undo of a toast, and nothing that lies behind a sheet.
import assert from 'node:assert/strict';
import test from 'node:test';

/** What the page contains, and what was pressed. */
const page = { isSheetOpen: false, presses: 0, prevented: 0 };
const button = { click: () => (page.presses += 1) };
Object.assign(document, {
  querySelector: (/** @type {string} */ wanted) =>
    ({ '[aria-keyshortcuts]': button, 'dialog[open]': page.isSheetOpen ? {} : null })[wanted] ?? null,
});
await import('../../static/components/layout/undo_key.js');

/**
 * @param {{ isField?: boolean, [key: string]: any }} how
 * @returns {[number, number]} presses of the undo, and of keys that the browser does not act on
 */
function press({ isField = false, ...keys }) {
  Object.assign(page, { presses: 0, prevented: 0 });
  const event = Object.assign(new Event('keydown'), { key: 'z', ctrlKey: false, metaKey: false, ...keys });
  Object.defineProperty(event, 'target', { value: { matches: () => isField } });
  Object.defineProperty(event, 'preventDefault', { value: () => (page.prevented += 1) });
  dispatchEvent(event);
  return [page.presses, page.prevented];
}

test('the keys press the undo, and nothing else follows', () => {
  assert.deepEqual(press({ ctrlKey: true }), [1, 1]);
  assert.deepEqual(press({ metaKey: true }), [1, 1]);
});

test('other keys and the undo of a field stay', () => {
  assert.deepEqual(press({}), [0, 0]);
  assert.deepEqual(press({ key: 'y', ctrlKey: true }), [0, 0]);
  assert.deepEqual(press({ ctrlKey: true, isField: true }), [0, 0]);
});

test('the keys press nothing behind an open sheet', () => {
  page.isSheetOpen = true;
  assert.deepEqual(press({ ctrlKey: true }), [0, 0]);
  page.isSheetOpen = false;
});

import assert from 'node:assert/strict';
import test from 'node:test';
import { toastTop } from '../../static/components/layout/toast_place.js';

const PAGE = { height: 60, visible: { top: 0, bottom: 780 }, bars: [660, 720] };

test('a toast lies at the top of the page', () => {
  assert.equal(toastTop({ ...PAGE, touchedY: 400 }), 0);
});

test('a toast leaves what was just touched free', () => {
  assert.equal(toastTop({ ...PAGE, touchedY: 40 }), 660 - 60 - 8);
});

test('a toast follows a page that a keyboard has moved', () => {
  const visible = { top: 120, bottom: 460 };
  assert.equal(toastTop({ ...PAGE, visible, touchedY: 400 }), 120);
  assert.equal(toastTop({ ...PAGE, visible, touchedY: 130 }), 460 - 60 - 8);
});

test('a bar at the side is no floor for a toast', () => {
  assert.equal(toastTop({ ...PAGE, bars: [0], touchedY: 40 }), 780 - 60 - 8);
});

test('a tall toast never begins above the visible page', () => {
  assert.equal(toastTop({ ...PAGE, height: 700, touchedY: 40 }), 0);
});

// The second tap of a double tap: what it must not press, and what it may.
import assert from 'node:assert/strict';
import test from 'node:test';
import { stopSecondTap } from '../../static/lib/second_tap.js';

let clock = 0;

/**
 * Press a place, much later than what was pressed before unless `after` says otherwise.
 * @param {'thumb' | 'marked' | 'elsewhere'} where
 * @param {{ after?: number, detail?: number, x?: number }} [how]
 * @returns {boolean} whether the press was stopped
 */
function press(where, { after = 5_000, detail = 1, x = 100 } = {}) {
  let stops = 0;
  clock += after;
  const stop = () => {
    stops += 1;
  };
  const own = { thumb: '.at-thumb', marked: '[data-once]', elsewhere: '.row' }[where];
  const target = { closest: (/** @type {string} */ wanted) => (wanted.split(', ').includes(own) ? {} : null) };
  const given = { detail, timeStamp: clock, clientX: x, clientY: 600, target };
  stopSecondTap(/** @type {any} */ ({ ...given, stopPropagation: stop, preventDefault: stop }));
  return stops === 2;
}

test('the second tap at the thumb is stopped', () => {
  for (const after of [50, 150, 300]) {
    assert.equal(press('thumb'), false);
    assert.equal(press('thumb', { after }), true);
    assert.equal(press('thumb', { after }), true);
  }
});

test('a tap later or beside the first one counts', () => {
  press('thumb');
  assert.equal(press('thumb', { after: 400 }), false);
  assert.equal(press('thumb', { after: 100, x: 160 }), false);
});

test('a counted second click is stopped however late', () => {
  press('thumb');
  assert.equal(press('thumb', { after: 480, detail: 2 }), true);
});

test('the second tap presses nothing that took the place', () => {
  press('thumb');
  assert.equal(press('elsewhere', { after: 200 }), true);
  press('elsewhere');
  assert.equal(press('thumb', { after: 200 }), true);
});

test('a marked button acts once wherever it stands', () => {
  press('marked');
  assert.equal(press('marked', { after: 200 }), true);
  assert.equal(press('elsewhere', { after: 200 }), true);
  press('marked');
  assert.equal(press('elsewhere', { after: 480, detail: 2 }), true);
});

test('a fast second tap elsewhere may repeat the first', () => {
  press('elsewhere');
  assert.equal(press('elsewhere', { after: 100 }), false);
  assert.equal(press('elsewhere', { after: 100, detail: 2 }), false);
});

test('presses of the keyboard are never stopped', () => {
  press('thumb');
  assert.equal(press('thumb', { after: 50, detail: 0 }), false);
});

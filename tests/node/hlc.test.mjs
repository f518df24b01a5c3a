import assert from 'node:assert/strict';
import test from 'node:test';
import { ClockError, clockMs, maxClock, tick } from '../../static/store/hlc.js';
import { DEVICE, NOW, at } from './support.mjs';

const LAST = 9_999_999_999_999;

/** @param {() => unknown} work @param {string} code */
function fails(work, code) {
  assert.throws(
    work,
    (error) =>
      error instanceof ClockError && error.name === 'ClockError' && error.code === code && error.message === code,
  );
}

test('a clock tells its time', () => {
  assert.equal(clockMs(at(5)), NOW + 5);
  fails(() => clockMs('yesterday'), 'bad_clock');
});

test('the last moment is a moment and the next is none', () => {
  assert.equal(tick(null, LAST, DEVICE), `${LAST}-0000-${DEVICE}`);
  fails(() => tick(null, LAST + 1, DEVICE), 'bad_time');
  fails(() => tick(`${LAST}-ffff-${DEVICE}`, 0, DEVICE), 'bad_time');
  fails(() => tick(null, 0.5, DEVICE), 'bad_time');
});

test('a time before 1970 counts as none', () => {
  assert.equal(tick(null, -1, DEVICE), `0000000000000-0000-${DEVICE}`);
});

test('a device without a name gets no clock', () => {
  fails(() => tick(null, NOW, 'UPPER CASE'), 'bad_device');
});

test('a clock at the same moment counts on', () => {
  assert.equal(tick(at(0), NOW, DEVICE), at(0, DEVICE, 1));
  assert.equal(tick(at(0, DEVICE, 0xfffe), NOW - 9, DEVICE), at(0, DEVICE, 0xffff));
  assert.equal(tick(at(0, DEVICE, 0xffff), NOW, DEVICE), at(1));
  assert.equal(tick(at(0, DEVICE, 9), NOW + 1, DEVICE), at(1));
});

test('the latest of some clocks is the greatest text', () => {
  assert.equal(maxClock(), null);
  assert.equal(maxClock(null, undefined), null);
  assert.equal(maxClock(at(1), null, at(3), at(2), undefined), at(3));
  assert.equal(maxClock(at(1), at(2)), at(2));
});

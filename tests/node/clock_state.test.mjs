import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { backoffMs } from '../../static/store/backoff.js';
import { newDeviceId, nextTimestamp, readClockState } from '../../static/store/clock_state.js';
import { db, transaction } from '../../static/store/database.js';
import { DEVICE, NOW, at, emptyBook, setTiming } from './support.mjs';

beforeEach(emptyBook);
afterEach(() => {
  mock.restoreAll();
  mock.timers.reset();
  setTiming({});
});

const read = () => transaction('rw', ['meta'], readClockState);

test('a device id has twenty hex digits', () => {
  mock.method(crypto, 'getRandomValues', (/** @type {Uint8Array} */ bytes) => bytes.fill(10));
  assert.equal(newDeviceId(), '0a'.repeat(10));
});

test('the state is created once and stored', async () => {
  await db.meta.delete('clock');
  const initial = await read();
  assert.match(initial.book, /^[0-9a-f]{20}$/);
  assert.match(initial.device, /^[0-9a-f]{20}$/);
  assert.notEqual(initial.book, initial.device);
  const { name, last, offset_ms } = initial;
  assert.deepEqual({ name, last, offset_ms }, { name: 'clock', last: null, offset_ms: 0 });
  assert.deepEqual(await read(), initial);
  assert.deepEqual(await db.meta.get('clock'), initial);
});

test('the next clock follows the time of the server', () => {
  mock.timers.enable({ apis: ['Date'], now: NOW });
  const row = { name: /** @type {const} */ ('clock'), book: '', device: DEVICE, last: null, offset_ms: 7 };
  assert.equal(nextTimestamp(row), at(7));
  assert.equal(nextTimestamp({ ...row, last: at(9) }), at(9, DEVICE, 1));
});

test('a wait doubles with each failure, up to a maximum', () => {
  setTiming({ backoff_first_ms: 100, backoff_max_ms: 1_000 });
  const random = mock.method(Math, 'random', () => 0);
  assert.deepEqual(
    [1, 2, 3, 4, 5, 9].map((failures) => backoffMs(failures)),
    [50, 100, 200, 400, 500, 500],
  );
  random.mock.mockImplementation(() => 0.5);
  assert.deepEqual(
    [1, 2].map((failures) => backoffMs(failures)),
    [75, 150],
  );
  assert.equal(backoffMs(3, { first_ms: 10, max_ms: 25 }), 18.75);
});

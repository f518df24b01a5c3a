// A part of the app that does not load is asked for again until it comes.
import assert from 'node:assert/strict';
import { mock, test } from 'node:test';
import { untilLoaded } from '../../static/lib/until_loaded.js';

test('a part that fails is asked for until it comes', async () => {
  mock.timers.enable({ apis: ['setTimeout'] });
  const told = /** @type {unknown[]} */ ([]);
  mock.method(console, 'error', (/** @type {unknown} */ error) => told.push(error));
  let asked = 0;
  const coming = untilLoaded(async () => {
    asked += 1;
    if (asked < 3) throw new TypeError('Failed to fetch');
    return 'the part';
  });
  for (const times of [1, 2]) {
    await new Promise(setImmediate);
    assert.equal(asked, times);
    mock.timers.tick(2_000);
  }
  assert.equal(await coming, 'the part');
  assert.equal(told.filter((error) => error instanceof TypeError).length, 2);
  mock.reset();
});

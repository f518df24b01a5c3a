// Moments of a table on a phone whose clock is wrong.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { tableClock, tableMoment } from '../../static/domain/table/moment.js';
import { effect } from '../../static/lib/ui.js';
import { bindOwner } from '../../static/store/owner.js';
import { round } from '../../static/sync/round.js';
import { NOW, emptyBook, serve, takesAll, until } from './support.mjs';

beforeEach(async () => {
  mock.timers.enable({ apis: ['Date'], now: NOW });
  await emptyBook();
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
});
afterEach(() => mock.timers.reset());

/** @returns {number} seconds by which a moment differs from the phone's clock */
const ahead = () => (Date.parse(tableMoment()) - NOW) / 1_000;

test('a moment has the time of the server', async () => {
  const stop = effect(() => {
    tableClock.value;
  });
  await until(() => tableClock.peek() === 0);
  for (const off_s of [7_200, -7_200, 120, 0]) {
    serve(takesAll({ now: NOW + off_s * 1_000 }));
    assert.equal((await round(() => undefined)).end, 'done');
    await until(() => Math.abs(ahead() - off_s) <= 1);
  }
  stop();
});

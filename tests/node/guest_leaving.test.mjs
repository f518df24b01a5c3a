// Leaving: the phone forgets the table, and says that answers are deleted only if the server has deleted them.
import assert from 'node:assert/strict';
import { beforeEach, test } from 'node:test';
import { leaveTable } from '../../static/domain/guest/join_table.js';
import { putSeat, readSeat } from '../../static/domain/guest/guest_store.js';
import { FakeServer, seatAt, TABLE } from './guest_server.mjs';

let server = new FakeServer();

beforeEach(() => {
  server = new FakeServer();
  globalThis.fetch = /** @type {any} */ (server.fetch);
});

/** @param {any} state @param {boolean} forget */
async function leave(state, forget) {
  const seat = { ...seatAt(), state };
  await putSeat(seat);
  await leaveTable(seat, { forget });
  assert.equal(await readSeat(TABLE), undefined);
}

test('answers are deleted by the server after the end, too', async () => {
  await leave('over', true);
  assert.equal(server.is.ended, 'forgotten');
});

test('a phone may leave a tasting that is over without a network', async () => {
  server.is.down = true;
  await leave('over', false);
  await leave('removed', false);
  await assert.rejects(leave('over', true), { code: 'no_network' });
  await assert.rejects(leave('in', false), { code: 'no_network' });
  assert.ok(await readSeat(TABLE));
});

test('a guest whose first request was lost has left', async () => {
  for (const forget of [true, false]) {
    server.is = { down: false, losing: true, ended: '' };
    await assert.rejects(leave('in', forget), { code: 'no_network' });
    server.is.losing = false;
    await leave('in', forget);
  }
});

test('a deletion that the server refuses is not claimed', async () => {
  for (const reason of ['removed', 'ended', 'left', 'unknown']) {
    server.is.ended = reason;
    await assert.rejects(leave('over', true), { code: 'guest_ended' });
    assert.ok(await readSeat(TABLE));
    await leave('in', false);
  }
});
